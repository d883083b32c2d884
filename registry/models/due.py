"""What is due at a pavement and why: as last worked out, kept for lists."""

from datetime import date
from typing import Self

from django.db import models
from django.db.models import F, Q

from registry.models.cleaning import CLASS_OF, CleaningMethod

LATEST_BY = {"fit": "fit", "permit": "permit", "sand": "last sand"}


class DueQuerySet(models.QuerySet["Due"]):
    """What is due."""

    def due_by(self, day: date) -> Self:
        """Return what is due by a day or earlier, soonest first."""
        return self.filter(latest_on__lte=day).order_by("latest_on", "pk")

    def no_longer_enough(self) -> Self:
        """Return pavements at which sweeping is no longer enough, the newest answer first."""
        return self.filter(no_longer_enough=True).order_by("pavement__name", "pk")

    def soonest_first(self) -> Self:
        """Return them by their latest day; those without one last."""
        return self.order_by(F("latest_on").asc(nulls_last=True), "pk")

    def with_pavement(self) -> Self:
        """Fetch the pavement and its site too."""
        return self.select_related("pavement__site")


class Due(models.Model):
    """One for each pavement in service, the same for everyone who may see it.

    Worked out from the record as of a day at the site; prices are no part of it. Dates and figures
    that are not decided are null, and `not_decided` holds why, each in a sentence.

    method         proposed; blank: `no_method` says why
    rows_text      rows to do as people write them; blank: the whole pavement
    area_m2        of them
    earliest_on    first sensible day from `as_of_on` on; `season_last_on` the last of that season
    possible_on    first day that nothing rules out
    latest_on      by `latest_by`, a key of LATEST_BY; `fit` is the one its outlook rests on
    gain_...       rate after over before of one cleaning: median, 10 % and 90 %
    permits        counts of permit years, as dictionaries (`gathering/due_stored.py`)
    enough         {system: answers of the six rules}; `no_longer_enough` None: not decided
    missed_window ... run_on_m2   what the order of sweeping rests on (N26), None where not known;
                   `is_level_far`: the fit gives no day in the years it searches; `rank_why` the
                   reason in one line, `rank_open` what could not be weighed
    """

    pavement = models.OneToOneField(
        "registry.Pavement", on_delete=models.CASCADE, related_name="due"
    )
    as_of_on = models.DateField()
    worked_out_at = models.DateTimeField()
    method = models.CharField("proposed", max_length=18, choices=CleaningMethod, blank=True)
    method_why = models.TextField(blank=True)
    method_source = models.TextField(blank=True)
    no_method = models.TextField(blank=True)
    beside = models.JSONField("methods beside it", default=list)
    cautions = models.JSONField(default=list)
    rows_text = models.CharField(max_length=240, blank=True)
    area_m2 = models.FloatField(null=True, blank=True)
    earliest_on = models.DateField(null=True, blank=True)
    earliest_why = models.TextField(blank=True)
    possible_on = models.DateField(null=True, blank=True)
    season_last_on = models.DateField(null=True, blank=True)
    latest_on = models.DateField(null=True, blank=True)
    latest_by = models.CharField(max_length=6, blank=True, choices=LATEST_BY)
    latest_why = models.TextField(blank=True)
    fit = models.ForeignKey(
        "registry.Fit", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    conflict = models.TextField(blank=True)
    reason = models.TextField(blank=True)
    gain_median = models.FloatField(null=True, blank=True)
    gain_low = models.FloatField(null=True, blank=True)
    gain_high = models.FloatField(null=True, blank=True)
    no_gain = models.TextField(blank=True)
    permits = models.JSONField(default=list)
    is_permit_short = models.BooleanField(default=False)
    no_longer_enough = models.BooleanField(null=True)
    enough = models.JSONField(default=dict)
    not_decided = models.JSONField(default=list)
    missed_window = models.BooleanField("missed its window before frost", default=False)
    is_below = models.BooleanField("below the action level", null=True, blank=True)
    is_level_far = models.BooleanField(default=False)
    months_left = models.FloatField("months to the action level", null=True, blank=True)
    reserve = models.FloatField("reserve of width", null=True, blank=True)
    run_on_m2 = models.FloatField("run-on area served", null=True, blank=True)
    rank_why = models.TextField(blank=True)
    rank_open = models.JSONField(default=list)

    objects = DueQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "dues"
        indexes = (
            models.Index(fields=("latest_on",), name="due_by_latest_day"),
            models.Index(
                fields=("pavement",),
                condition=Q(no_longer_enough=True),
                name="due_no_longer_enough",
            ),
        )
        constraints = (
            models.CheckConstraint(
                name="due_without_method_says_why", condition=~Q(method="") | ~Q(no_method="")
            ),
            models.CheckConstraint(
                name="due_latest_day_says_by_what",
                condition=Q(latest_on__isnull=True) | ~Q(latest_by=""),
            ),
            models.CheckConstraint(
                name="due_gain_is_whole_or_says_why",
                condition=Q(gain_median__isnull=False, gain_low__gt=0, gain_high__gt=0)
                | (Q(gain_median__isnull=True) & ~Q(no_gain="")),
            ),
        )

    def __str__(self) -> str:
        return f"what is due at {self.pavement} as of {self.as_of_on}"

    @property
    def method_class(self) -> str:
        """Return which of the four methods of the figures is proposed, or an empty string."""
        return CLASS_OF[self.method] if self.method else ""

    def is_late(self, today: date) -> bool:
        """Say whether its latest day has passed."""
        return self.latest_on is not None and self.latest_on < today

    def is_too_early(self, today: date) -> bool:
        """Say whether its first sensible day is still to come, or there is none."""
        return bool(self.method) and (self.earliest_on is None or self.earliest_on > today)
