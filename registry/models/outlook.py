"""The outlook of a pavement: what the current fit says of it, as of a day."""

from datetime import date

from django.db import models
from django.db.models import Count, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce

from registry.models.cleaning import Cleaning
from registry.models.entry import EntryQuerySet
from registry.models.infiltration_test import InfiltrationTest


class OutlookQuerySet(models.QuerySet["Outlook"]):
    """Outlooks."""

    def due_by(self, day: date) -> "OutlookQuerySet":
        """Return those to be swept by a day or earlier, soonest first."""
        return self.filter(sweep_by_on__lte=day).order_by("sweep_by_on", "pk")

    def soonest_first(self) -> "OutlookQuerySet":
        """Return them by the day to sweep by; those without one last."""
        return self.order_by(models.F("sweep_by_on").asc(nulls_last=True), "pk")

    def with_pavement(self) -> "OutlookQuerySet":
        """Fetch the pavement and its site too; leave what only its own page shows."""
        return self.select_related("pavement__site").defer("spots", "by_method")

    def with_entries_since(self) -> "OutlookQuerySet":
        """Count the tests and cleanings that came in after the fit was made: `came_in_since`."""
        return self.annotate(
            came_in_since=_since(InfiltrationTest.objects.standing())
            + _since(Cleaning.objects.done())
        )

    def for_list(self) -> "OutlookQuerySet":
        """Fetch what a list prints."""
        return self.only(
            "pavement",
            "as_of_on",
            "sweep_by_on",
            "sweep_by_place",
            "worst_p_below",
            "worst_place",
            "why_not",
            "is_beyond_sweeping",
        )


def _since(entries: EntryQuerySet) -> Coalesce:
    later = entries.filter(pavement=OuterRef("pavement"), entered_at__gt=OuterRef("fit__made_at"))
    counted = later.order_by().values("pavement").annotate(count=Count("pk")).values("count")
    return Coalesce(Subquery(counted, output_field=models.IntegerField()), 0)


class Outlook(models.Model):
    """One for each pavement, the same for everyone who may see it; worked out from one fit.

    Where no number may be given they are null and `why_not` says why. `spots` and `by_method` are
    lists of plain dictionaries (see `gathering/outlooks.py`).

    p_below        chance of lying below the action level on the day, the surface as a whole
    worst_p_below  the highest over that and the spots that still exist: the worst place decides
    worst_place    the name of that spot; blank where it is the surface as a whole
    share_below    of the surface away from any run-on edge, `edge_` of that edge where one is
                   recorded, `whole_` of both by their areas: null with `whole_share_why_not`
    """

    pavement = models.OneToOneField(
        "registry.Pavement", on_delete=models.CASCADE, related_name="outlook"
    )
    fit = models.ForeignKey(
        "registry.Fit", on_delete=models.PROTECT, null=True, blank=True, related_name="outlooks"
    )
    as_of_on = models.DateField()
    worked_out_at = models.DateTimeField()
    why_not = models.CharField(max_length=300, blank=True)
    effective_age_yr = models.FloatField(null=True, blank=True)
    rate_mm_h = models.FloatField(null=True, blank=True)
    low_mm_h = models.FloatField(null=True, blank=True)
    high_mm_h = models.FloatField(null=True, blank=True)
    action_rate_mm_h = models.FloatField(null=True, blank=True)
    p_below = models.FloatField(null=True, blank=True)
    worst_p_below = models.FloatField(null=True, blank=True)
    worst_place = models.CharField(max_length=60, blank=True)
    own_sweep_by_on = models.DateField(null=True, blank=True)
    sweep_by_on = models.DateField(null=True, blank=True)
    sweep_by_place = models.CharField(max_length=60, blank=True)
    risk = models.FloatField(default=0.10)
    is_beyond_sweeping = models.BooleanField(default=False)
    share_below = models.FloatField(null=True, blank=True)
    share_below_low = models.FloatField(null=True, blank=True)
    share_below_high = models.FloatField(null=True, blank=True)
    edge_share_below = models.FloatField(null=True, blank=True)
    edge_share_below_low = models.FloatField(null=True, blank=True)
    edge_share_below_high = models.FloatField(null=True, blank=True)
    whole_share_below = models.FloatField(null=True, blank=True)
    whole_share_below_low = models.FloatField(null=True, blank=True)
    whole_share_below_high = models.FloatField(null=True, blank=True)
    whole_share_why_not = models.CharField(max_length=200, blank=True)
    intercept = models.FloatField(null=True, blank=True)
    slope_per_yr = models.FloatField(null=True, blank=True)
    sd_intercept = models.FloatField(null=True, blank=True)
    sd_slope_per_yr = models.FloatField(null=True, blank=True)
    spots = models.JSONField(default=list)
    by_method = models.JSONField(default=list)

    came_in_since: int
    """Where asked for `with_entries_since`."""

    objects = OutlookQuerySet.as_manager()

    class Meta:
        indexes = (
            models.Index(fields=("sweep_by_on",)),
            models.Index(fields=("worst_p_below",), name="outlook_worst_p_below"),
        )
        constraints = (
            models.CheckConstraint(
                condition=~Q(why_not="") | Q(p_below__isnull=False),
                name="outlook_without_numbers_says_why",
            ),
            models.CheckConstraint(
                condition=Q(p_below__isnull=True) | Q(p_below__gte=0, p_below__lte=1),
                name="outlook_chance_is_a_share",
            ),
            models.CheckConstraint(
                condition=Q(p_below__isnull=True)
                | Q(worst_p_below__isnull=False, worst_p_below__gte=models.F("p_below")),
                name="outlook_worst_chance_is_no_less",
            ),
            models.CheckConstraint(
                condition=Q(worst_p_below__isnull=True)
                | Q(worst_p_below__gte=0, worst_p_below__lte=1),
                name="outlook_worst_chance_is_a_share",
            ),
        )

    def __str__(self) -> str:
        return f"outlook of {self.pavement} as of {self.as_of_on}"
