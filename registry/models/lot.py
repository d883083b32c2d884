"""Lots for acceptance: a day's work, or as the contract says, and what was decided of them."""

from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.entry import Entry, void_has_reason
from registry.models.signed_move import SignedMove, move_back_says_why
from registry.placing.moves import LOT_ACCEPTANCE

STATES = dict(LOT_ACCEPTANCE.states)


class Lot(Entry):
    """Panels accepted together. The rule of the contract is kept with it; rates mm/h, area m2.

    `panels` are names on the plan of `made_on`; empty on a path, where `panels_text` says what.
    `state` is where its moves led; only actions write it.
    """

    pavement = models.ForeignKey("registry.Pavement", on_delete=models.PROTECT, related_name="lots")
    placing_day = models.ForeignKey(
        "registry.PlacingDay",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="lots",
        verbose_name="placing day",
    )
    name = models.CharField("lot", max_length=40)
    made_on = models.DateField("placed on")
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    area_m2 = models.FloatField("area", null=True, blank=True)
    rule = models.CharField("rule of the contract", max_length=300, blank=True)
    tests_needed = models.PositiveSmallIntegerField("tests needed", null=True, blank=True)
    least_rate_mm_h = models.FloatField("each at least", null=True, blank=True)
    test_after_days = models.PositiveSmallIntegerField("tested after, days", null=True, blank=True)
    grade_ok = models.CharField("grade as asked", max_length=3, choices=Answer, blank=True)
    look_ok = models.CharField(
        "looks like the approved test panel", max_length=3, choices=Answer, blank=True
    )
    punch_list = models.TextField("list of what is left to do", blank=True)
    state = models.CharField(
        "state", max_length=16, choices=STATES, default="waiting", editable=False
    )

    class Meta:
        ordering = ("made_on", "pk")
        constraints = (
            void_has_reason("lot"),
            models.UniqueConstraint(
                fields=("pavement", "name"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="lot_name_once",
            ),
        )

    def __str__(self) -> str:
        return f"lot {self.name}"


class LotMove(SignedMove):
    """One move of a lot's state."""

    words = STATES

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="moves")

    class Meta(SignedMove.Meta):
        constraints = (move_back_says_why("lot"),)
