"""Machines: what a crew sweeps with, by what it can do. Who made it is not asked."""

from django.db import models
from django.db.models import Q

from registry.models.cleaning import CleaningMethod
from registry.models.entry import Entry, void_has_reason

MEASURES = (
    "head_width_m", "speed_km_h", "efficiency", "hopper_m3", "water_tank_l", "axle_kg",
    "height_m", "width_m", "turning_m", "hose_m",
)  # fmt: skip


def _each_none_or_positive() -> Q:
    rule = Q()
    for name in MEASURES:
        rule &= Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__gt": 0})
    return rule


class Machine(Entry):
    """A machine of an organisation. Lengths m, speed km/h, volumes m3 and L, axle load kg.

    `methods` are codes of CleaningMethod; `efficiency` is the share of the time in which the head
    works.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="machines"
    )
    name = models.CharField("machine, own name or number", max_length=120)
    methods = models.JSONField("methods it can do", default=list)
    head_width_m = models.FloatField("head width", null=True, blank=True)
    speed_km_h = models.FloatField("speed at work", null=True, blank=True)
    efficiency = models.FloatField("share of time at work, 0 to 1", null=True, blank=True)
    hopper_m3 = models.FloatField("hopper", null=True, blank=True)
    water_tank_l = models.FloatField("water tank", null=True, blank=True)
    axle_kg = models.FloatField("heaviest axle, loaded", null=True, blank=True)
    height_m = models.FloatField("height", null=True, blank=True)
    width_m = models.FloatField("width", null=True, blank=True)
    turning_m = models.FloatField("turning circle", null=True, blank=True)
    hose_m = models.FloatField("hose reaches", null=True, blank=True)
    keeps_wash_water = models.BooleanField("takes its wash water along", default=False)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            void_has_reason("machine"),
            models.UniqueConstraint(
                fields=("organisation", "name"),
                condition=Q(void_at__isnull=True),
                name="machine_name_once_in_an_organisation",
            ),
            models.CheckConstraint(
                name="machine_measures_are_positive", condition=_each_none_or_positive()
            ),
            models.CheckConstraint(
                name="machine_efficiency_is_a_share",
                condition=Q(efficiency__isnull=True) | Q(efficiency__lte=1),
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def methods_in_words(self) -> str:
        """Return the methods it can do, in words."""
        return ", ".join(str(CleaningMethod(code).label) for code in self.methods)
