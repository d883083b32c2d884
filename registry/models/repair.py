"""Repairs: what was done where, measured and squared, and the cover of the repaired part."""

from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.signed_move import SignedMove, move_back_says_why
from registry.placing.moves import REPAIR

STATES = dict(REPAIR.states)


class RepairMethod(models.TextChoices):
    """Ways to repair."""

    HAND_PATCH = "hand_patch", "hand patch in fine mix"
    EDGE_RECAST = "edge_recast", "edge cut and recast"
    PANEL = "panel", "panel replaced"
    ROW = "row", "row replaced"
    LIP_GROUND = "lip_ground", "lip ground"
    RAMP = "ramp", "ramp"
    CRACK_FILLED = "crack_filled", "crack routed and filled"
    BOUND = "bound", "surface bound with resin"
    RELIEF_HOLES = "relief_holes", "relief holes drilled"
    STONE_TRENCH = "stone_trench", "stone trench at edge"
    BASE = "base", "base repaired"
    UNDERDRAIN = "underdrain", "underdrain cleaned"
    DIRT_SOURCE = "dirt_source", "source of dirt fixed"


class RepairQuerySet(EntryQuerySet):
    """Repairs."""

    def under_way(self) -> "RepairQuerySet":
        """Return repairs that are not accepted yet."""
        return self.standing().exclude(state="accepted")


PLACES_CONCRETE = frozenset(
    {RepairMethod.HAND_PATCH, RepairMethod.EDGE_RECAST, RepairMethod.PANEL, RepairMethod.ROW}
)
"""Methods that place new concrete, which has an as-built record of its own."""


class Repair(Entry):
    """One repair. Extents m2 and m, both as measured and squared to joints or saw lines.

    New pervious concrete has a placing day of its own (`PlacingDay.repair`), and its panels new
    rows; `warranty_part` is the cover of the repaired part only. Only actions write `state`.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="repairs"
    )
    callback = models.ForeignKey(
        "registry.Callback",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="repairs",
        verbose_name="callback",
    )
    number = models.CharField("repair no.", max_length=40, blank=True)
    reason = models.CharField(
        "reason",
        max_length=10,
        choices={
            "warranty": "warranty, accepted",
            "goodwill": "goodwill",
            "owner": "owner’s",
            "finding": "finding",
            "others": "others’ damage",
        },
    )
    method = models.CharField("method", max_length=14, choices=RepairMethod)
    defects = models.ManyToManyField(
        "registry.Defect", blank=True, related_name="repairs", verbose_name="defects covered"
    )
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels or saw lines, as written", max_length=240, blank=True)
    measured_m2 = models.FloatField("measured, area", null=True, blank=True)
    squared_m2 = models.FloatField("squared, area", null=True, blank=True)
    measured_m = models.FloatField("measured, length", null=True, blank=True)
    squared_m = models.FloatField("squared, length", null=True, blank=True)
    out_on = models.DateField("old concrete out", null=True, blank=True)
    in_on = models.DateField("new concrete in", null=True, blank=True)
    opened_on = models.DateField("opened", null=True, blank=True)
    tests_after = models.ManyToManyField(
        "registry.InfiltrationTest",
        blank=True,
        related_name="after_repairs",
        verbose_name="tests after",
    )
    looks = models.CharField(
        "look against neighbors",
        max_length=8,
        blank=True,
        choices={
            "matches": "matches",
            "lighter": "lighter",
            "darker": "darker",
            "coarser": "coarser",
            "denser": "denser",
        },
    )
    unit_price = models.DecimalField(
        "price per unit", max_digits=10, decimal_places=2, null=True, blank=True
    )
    currency = models.CharField("currency of the price", max_length=8, blank=True, default="")
    price_unit = models.CharField(
        "unit of the price",
        max_length=3,
        blank=True,
        choices={"ft2": "ft²", "m2": "m²", "ft": "ft", "m": "m"},
    )
    share_percents = models.JSONField("shares", default=list, blank=True)
    warranty_part = models.ForeignKey(
        "registry.WarrantyPart",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="repairs",
        verbose_name="cover of the repaired part",
    )
    first_look_on = models.DateField("first look after a winter", null=True, blank=True)
    first_look_sound = models.CharField("sound then", max_length=3, choices=Answer, blank=True)
    state = models.CharField(
        "state", max_length=12, choices=STATES, default="ordered", editable=False
    )

    objects = RepairQuerySet.as_manager()

    class Meta:
        ordering = ("in_on", "pk")
        constraints = (
            void_has_reason("repair"),
            models.CheckConstraint(
                name="repair_squared_is_not_smaller",
                condition=(
                    Q(measured_m2__isnull=True)
                    | Q(squared_m2__isnull=True)
                    | Q(squared_m2__gte=models.F("measured_m2"))
                )
                & (
                    Q(measured_m__isnull=True)
                    | Q(squared_m__isnull=True)
                    | Q(squared_m__gte=models.F("measured_m"))
                ),
            ),
            models.CheckConstraint(
                name="repair_new_concrete_follows_old",
                condition=Q(out_on__isnull=True)
                | Q(in_on__isnull=True)
                | Q(in_on__gte=models.F("out_on")),
            ),
        )

    @property
    def places_concrete(self) -> bool:
        """Say whether new concrete was placed, which has a placing day of its own."""
        return self.method in PLACES_CONCRETE

    def __str__(self) -> str:
        return self.number or str(self.get_method_display())


class RepairMove(SignedMove):
    """One move of a repair's state."""

    words = STATES

    repair = models.ForeignKey(Repair, on_delete=models.PROTECT, related_name="moves")

    class Meta(SignedMove.Meta):
        constraints = (move_back_says_why("repair"),)
