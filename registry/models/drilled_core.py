"""Cores: what was drilled out, measured and seen."""

from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.entry import Entry, void_has_reason


class Core(Entry):
    """One core. Lengths mm, density kg/m3, chloride in percent of the mass of concrete.

    `fines_mm` is how deep fines reach below the surface, 0 where none were seen in its pores.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="cores"
    )
    callback = models.ForeignKey(
        "registry.Callback",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="cores",
        verbose_name="callback",
    )
    number = models.CharField("core no.", max_length=40)
    panel = models.CharField("panel", max_length=12, blank=True)
    place = models.CharField("place", max_length=80, blank=True)
    taken_on = models.DateField("taken on")
    taken_by = models.CharField("taken by", max_length=160, blank=True)
    laboratory = models.CharField("laboratory", max_length=160, blank=True)
    surface = models.CharField("surface there", max_length=80, blank=True)
    length_mm = models.FloatField("length", null=True, blank=True)
    density_kg_m3 = models.FloatField("density", null=True, blank=True)
    chloride_percent = models.FloatField("chloride, % by mass of concrete", null=True, blank=True)
    fines_mm = models.FloatField("fines reach down to", null=True, blank=True)
    bottom_closed = models.CharField(
        "paste closes the bottom", max_length=3, choices=Answer, blank=True
    )
    seen = models.TextField("seen in the core", blank=True)
    cause = models.CharField("cause named", max_length=160, blank=True)
    cause_by = models.CharField("named by", max_length=160, blank=True)

    class Meta:
        ordering = ("taken_on", "pk")
        constraints = (
            void_has_reason("core"),
            models.CheckConstraint(
                name="core_has_a_length", condition=Q(length_mm__isnull=True) | Q(length_mm__gt=0)
            ),
            models.CheckConstraint(
                name="core_has_a_density",
                condition=Q(density_kg_m3__isnull=True) | Q(density_kg_m3__gt=0),
            ),
            models.CheckConstraint(
                name="core_fines_not_below_0",
                condition=Q(fines_mm__isnull=True) | Q(fines_mm__gte=0),
            ),
            models.CheckConstraint(
                name="core_fines_within_length",
                condition=Q(fines_mm__isnull=True)
                | Q(length_mm__isnull=True)
                | Q(fines_mm__lte=models.F("length_mm")),
            ),
            models.CheckConstraint(
                name="core_chloride_0_to_100",
                condition=Q(chloride_percent__isnull=True) | Q(chloride_percent__range=(0, 100)),
            ),
        )

    def __str__(self) -> str:
        return f"core {self.number}"
