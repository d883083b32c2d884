"""Run-on areas: ground whose water crosses the pavement."""

from django.db import models
from django.db.models import Q

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason

SOIL_KINDS = frozenset({"bare_soil", "bed", "lawn", "slope"})


class RunOnArea(Entry):
    """An area that drains onto a pavement, from and to a day."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="run_on_areas"
    )
    name = models.CharField("name", max_length=80, blank=True)
    kind = models.CharField(
        "kind",
        max_length=10,
        choices={
            "roof": "roof",
            "asphalt": "asphalt",
            "concrete": "concrete",
            "paved": "paved, kind not known",
            "gravel": "gravel",
            "bare_soil": "bare soil",
            "bed": "bed",
            "lawn": "lawn",
            "slope": "slope",
            "pavement": "other pavement",
        },
    )
    area_m2 = models.FloatField("area", null=True, blank=True)
    runoff_coefficient = models.FloatField("runoff coefficient, 0 to 1", null=True, blank=True)
    flow_length_m = models.FloatField("flow length", null=True, blank=True)
    enters = models.CharField("enters along or at", max_length=120, blank=True)
    is_channelled = models.BooleanField("channelled, not spread", null=True, blank=True)
    known_by = models.CharField(
        "how known",
        max_length=10,
        default="assumed",
        choices={
            "rain_walk": "walked in rain",
            "levelled": "levelled",
            "plan": "plan",
            "assumed": "assumed",
        },
    )
    known_on = models.DateField("walked or levelled on", null=True, blank=True)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("run_on"),
            from_before_to("run_on"),
            models.CheckConstraint(
                name="run_on_coefficient_is_a_share",
                condition=Q(runoff_coefficient__isnull=True)
                | Q(runoff_coefficient__gte=0, runoff_coefficient__lte=1),
            ),
            models.CheckConstraint(
                name="run_on_area_is_positive",
                condition=Q(area_m2__isnull=True) | Q(area_m2__gt=0),
            ),
        )

    def __str__(self) -> str:
        return self.name or self.get_kind_display()

    @property
    def is_soil(self) -> bool:
        """Say whether the ground is soil or grass rather than paved."""
        return self.kind in SOIL_KINDS
