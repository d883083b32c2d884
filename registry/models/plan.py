"""Plans: datum, ties, up, check length; a new plan never overwrites the old."""

from django.db import models

from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class PlanKind(models.TextChoices):
    """How places are named on a plan."""

    PANELS = "panels", "panels with letters and numbers"
    STATIONS = "stations", "stations along the left edge"
    SQUARES = "squares", "squares from the datum"


class PlanQuerySet(EntryQuerySet):
    """Plans of pavements."""

    def newest_first(self) -> "PlanQuerySet":
        """Return plans, the one in force first."""
        return self.order_by("-number")


class Plan(Entry):
    """A plan of a pavement; lengths in metres from the datum, right and up."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="plans"
    )
    number = models.PositiveIntegerField("plan no.")
    kind = models.CharField("places are named by", max_length=8, choices=PlanKind)
    drawn_on = models.DateField("drawn on", null=True, blank=True)
    drawn_by = models.CharField("drawn by", max_length=120, blank=True)
    scale = models.CharField("scale", max_length=20, blank=True)
    datum = models.CharField("datum", max_length=240, blank=True)
    up = models.CharField("up is toward", max_length=120, blank=True)
    ties = models.JSONField("ties: to what, how far in metres", default=list, blank=True)
    second_mark = models.CharField("second mark", max_length=240, blank=True)
    check_length_m = models.FloatField("check length", null=True, blank=True)
    check_length_name = models.CharField("check length is between", max_length=80, blank=True)
    outline = models.JSONField("outline, [[right_m, up_m], ...]", default=list, blank=True)
    baseline = models.JSONField("left edge, [[right_m, up_m], ...]", default=list, blank=True)
    width_m = models.FloatField("width of a path", null=True, blank=True)
    offset_from = models.CharField(
        "offsets are from",
        max_length=10,
        blank=True,
        choices={"center": "the center", "left_edge": "the left edge"},
    )
    square_m = models.FloatField("side of a square", null=True, blank=True)
    features = models.JSONField(
        "drains, wells, run-on arrows: [{kind, name, right_m, up_m, to}]", default=list, blank=True
    )
    datum_lost_on = models.DateField("datum found gone on", null=True, blank=True)
    misfit_m = models.FloatField("misfit of a rebuilt datum", null=True, blank=True)
    old_names = models.JSONField("old name to new name", default=dict, blank=True)

    objects = PlanQuerySet.as_manager()

    class Meta:
        ordering = ("-number",)
        constraints = (
            void_has_reason("plan"),
            models.UniqueConstraint(fields=("pavement", "number"), name="plan_number_once"),
        )

    def __str__(self) -> str:
        return f"plan {self.number}"
