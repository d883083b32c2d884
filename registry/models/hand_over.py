"""Hand-overs: by whom, to whom, at which hour, with what; a certificate that both sign."""

from datetime import datetime

from django.db import models

from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.signed_move import SignedMove, move_back_says_why
from registry.placing.hand_over_moves import HAND_OVER

STATES = dict(HAND_OVER.states)


class HandOverQuerySet(EntryQuerySet):
    """Hand-overs."""

    def in_effect(self, at: datetime) -> "HandOverQuerySet":
        """Return hand-overs that both signed and whose hour had come by an instant."""
        return self.standing().filter(state="in_effect", effective_at__lte=at)


class HandOver(Entry):
    """One certificate. What was drawn up is kept as it was (`lines`, `state_then`, `open_things`).

    `is_first` marks the contractor's own to the owner, from which the owner's side reads the
    placing record. Only actions write `state`.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="hand_overs"
    )
    number = models.CharField("certificate no.", max_length=40, blank=True)
    is_first = models.BooleanField("first hand-over, by the contractor", default=False)
    giver = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="handed_over"
    )
    giver_name = models.CharField("from: name, role", max_length=160, blank=True)
    taker = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="taken_over"
    )
    taker_name = models.CharField("to: name, role", max_length=160, blank=True)
    effective_at = models.DateTimeField("effective date and hour")
    by_deed = models.CharField("by deed or contract no.", max_length=160, blank=True)
    lines = models.JSONField("what is handed over", default=list, blank=True)
    state_then = models.JSONField("state on the day", default=dict, blank=True)
    open_things = models.JSONField("what is open", default=list, blank=True)
    warranty_then = models.JSONField("warranty", default=dict, blank=True)
    care_duties = models.TextField("care duties", blank=True)
    statement_signed_by = models.CharField(
        "who signs the next statement", max_length=160, blank=True
    )
    not_known = models.TextField("not known", blank=True)
    copies = models.CharField("who keeps which copy", max_length=240, blank=True)
    taker_walked = models.CharField(
        "taker has walked it with the plan", max_length=3, choices=Answer, blank=True
    )
    state = models.CharField(
        "state", max_length=12, choices=STATES, default="drawn_up", editable=False
    )

    objects = HandOverQuerySet.as_manager()

    class Meta:
        ordering = ("effective_at", "pk")
        constraints = (void_has_reason("hand_over"),)

    def __str__(self) -> str:
        return self.number or f"hand-over of {self.effective_at:%Y-%m-%d}"


class HandOverMove(SignedMove):
    """One move of a certificate's state. `contested` says which line, where one is."""

    words = STATES

    hand_over = models.ForeignKey(HandOver, on_delete=models.PROTECT, related_name="moves")
    contested = models.CharField("line contested", max_length=200, blank=True)

    class Meta(SignedMove.Meta):
        constraints = (move_back_says_why("hand_over"),)
