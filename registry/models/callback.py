"""Callbacks: a notice of the owner's side, and every step of the answer to it."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import OuterRef, Q, Subquery

from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.organisation import Organisation
from registry.models.signed_move import SignedMove, move_back_says_why
from registry.models.warranty import Step
from registry.placing.claim_moves import (
    CALLBACK,
    ENDED,
    ENDS_DISPUTE,
    IN_DISPUTE,
    settlement_is_signed,
)

STATES = dict(CALLBACK.states)


class NoticeWay(models.TextChoices):
    """How a notice came."""

    CALL = "call", "call"
    MAIL = "mail", "e-mail"
    LETTER = "letter", "letter"
    MESSAGE = "message", "text message"
    IN_PERSON = "person", "in person"


class CallbackQuerySet(EntryQuerySet):
    """Callbacks."""

    def open(self) -> "CallbackQuerySet":
        """Return callbacks in which somebody still has to act."""
        return self.standing().exclude(state__in=ENDED)

    def counted_by(self, organisation: Organisation) -> "CallbackQuerySet":
        """Return callbacks whose terms count by a holiday list of an organisation."""
        return self.filter(warranty__holiday_list__organisation=organisation)

    def for_recount(self) -> "CallbackQuerySet":
        """Return callbacks with all that their day of counting follows from."""
        return self.select_related("warranty__holiday_list", "pavement__site")

    def in_dispute(self) -> "CallbackQuerySet":
        """Return callbacks under which the record is frozen, as `is_frozen` says."""
        decides = Q(to_state__in=IN_DISPUTE) | Q(to_state=ENDS_DISPUTE, is_back=False)
        moves = CallbackMove.objects.filter(decides, callback=OuterRef("pk"))
        last = moves.order_by("-at", "-pk").values("to_state")[:1]
        rows = self.standing().alias(last_decided=Subquery(last))
        return rows.filter(Q(state__in=IN_DISPUTE) | Q(last_decided__in=IN_DISPUTE))


class Callback(Entry):
    """One notice. Panels are names on the plan of the day it was received.

    `received_at` is the clock on which it came in; `counted_on` the day it counts from with the
    rule that said so, both as worked out when it was taken in. Only actions write `state`, and
    what is due next (`next_*`), which lists and the first page read.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="callbacks"
    )
    warranty = models.ForeignKey(
        "registry.Warranty",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="callbacks",
        verbose_name="warranty",
    )
    contractor = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        related_name="callbacks_to_answer",
        verbose_name="to be answered by",
    )
    claimed_for = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="callbacks_claimed",
        verbose_name="claimed for",
    )
    number = models.CharField("callback no.", max_length=40)
    claim = models.CharField("claim in one line", max_length=240)
    as_received = models.TextField("message as received", blank=True)
    received_at = models.DateTimeField("received at", null=True, blank=True)
    came_by = models.CharField("came by", max_length=8, choices=NoticeWay, blank=True)
    counted_on = models.DateField("counts as received on", null=True, blank=True)
    counted_why = models.CharField("because", max_length=300, blank=True)
    discovered_on = models.DateField("discovered on", null=True, blank=True)
    claimed_by = models.CharField("claimed by", max_length=160, blank=True)
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    extent = models.CharField("extent claimed", max_length=200, blank=True)
    first_seen = models.CharField("first seen", max_length=120, blank=True)
    is_urgent = models.CharField("urgent", max_length=3, choices=Answer, blank=True)
    urgent_why = models.CharField("urgent because", max_length=200, blank=True)
    excluded_on_its_face = models.CharField(
        "excluded on its face", max_length=3, choices=Answer, blank=True
    )
    clauses_argued = models.CharField("exclusions argued, by clause", max_length=240, blank=True)
    not_known = models.TextField("not known", blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)
    state = models.CharField(
        "state", max_length=20, choices=STATES, default="received", editable=False
    )
    next_step = models.CharField(
        "next step", max_length=11, choices=Step, blank=True, editable=False
    )
    next_side = models.CharField("who has to act", max_length=10, blank=True, editable=False)
    next_due_on = models.DateField("next step due", null=True, blank=True, editable=False)

    objects = CallbackQuerySet.as_manager()

    class Meta:
        ordering = ("-counted_on", "-pk")
        constraints = (
            void_has_reason("callback"),
            models.UniqueConstraint(
                fields=("contractor", "number"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="callback_number_once_a_contractor",
            ),
        )

    def __str__(self) -> str:
        return self.number

    def clean(self) -> None:
        """Refuse a warranty of another pavement."""
        if self.warranty is not None and self.warranty.pavement_id != self.pavement_id:
            raise ValidationError("The warranty is of another pavement.")

    def is_other_side(self, first_id: int | None, second: Organisation | None) -> bool:
        """Say whether two organisations stand on the two sides: its contractor, and the owner's.

        One that is both sides at once signs for either.
        """
        if first_id is None or second is None:
            return False
        sides = {first_id == self.contractor_id, second.pk == self.contractor_id}
        return len(sides) == 2 or (first_id == second.pk == self.claimed_for_id)

    def has_signed_settlement(self) -> bool:
        """Say whether the lines of its settlement are signed by a side, and so closed."""
        state = type(self).objects.values_list("state", flat=True).get(pk=self.pk)
        return settlement_is_signed(state, self.moves.values_list("to_state", "is_back"))

    @property
    def is_open(self) -> bool:
        """Say whether somebody still has to act."""
        return self.state not in ENDED


class CallbackMove(SignedMove):
    """One move of a callback's state."""

    words = STATES

    callback = models.ForeignKey(Callback, on_delete=models.PROTECT, related_name="moves")

    class Meta(SignedMove.Meta):
        constraints = (move_back_says_why("callback"),)
