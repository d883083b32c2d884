"""Infiltration tests: raw readings kept in the system they were read in, and what follows."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any, Self

from django.apps import apps
from django.db import models
from django.db.models import Q
from django.db.models.expressions import Combinable
from django.db.models.query import ModelIterable

from registry.measuring.veil import ON_OTHERS, veil_reason, veil_stored
from registry.models.choices import Answer, ReadingSystem, StratumKind
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.reading_limits import readings_are_within


class TestMethod(models.TextChoices):
    """Methods; they never share a trend line."""

    __test__ = False

    C1701 = "c1701", "ASTM C1701"
    C1781 = "c1781", "ASTM C1781"
    QUICK_POUR = "quick_pour", "quick pour, not to standard"
    OTHER = "other", "other, not to standard"


class Ended(models.TextChoices):
    """How a run ended."""

    DRAINED = "drained", "drained"
    STOPPED = "stopped", "stopped at the limit, water standing"
    TOO_FAST = "too_fast", "too fast to hold a head"
    SPOILED = "spoiled", "spoiled"


class UseOfTest(models.TextChoices):
    """What a run may be used for."""

    TREND = "trend", "usable for trend"
    BOUND = "bound", "a bound"
    LOOKED_AT = "looked_at", "looked at only"
    NOT_COMPUTED = "not_computed", "not computed"
    VOID = "void", "void"


class ReasonForTest(models.TextChoices):
    """Why a test was made."""

    ACCEPTANCE = "acceptance", "acceptance"
    YEARLY = "yearly", "yearly"
    BEFORE_CLEANING = "before_cleaning", "before cleaning"
    AFTER_CLEANING = "after_cleaning", "after cleaning"
    COMPLAINT = "complaint", "complaint"
    AUDIT = "audit", "audit"
    WARRANTY = "warranty", "warranty"
    HAND_OVER = "hand_over", "hand-over"


class InfiltrationTestQuerySet(EntryQuerySet):
    """Infiltration tests."""

    _hides: Combinable | None = None

    def veiled_where(self, hides: Combinable) -> "InfiltrationTestQuerySet":
        """Return the same tests, told as to a reader of a part of the record where it hides more.

        hides says so within the question that fetches the tests; it hangs on no test.
        """
        rows = self._chain()
        rows._hides = hides
        return rows

    def unveiled(self) -> "InfiltrationTestQuerySet":
        """Return the same tests as they are stored, to be corrected."""
        rows = self._chain()
        rows._hides = None
        return rows

    def veiling(self, rows: models.QuerySet) -> models.QuerySet:
        """Return rows fetched in another way, that `veil_fetched` veils as these are."""
        return rows if self._hides is None else rows.annotate(hides_more=self._hides)

    @property
    def is_veiled(self) -> bool:
        """Say whether the record holds what these tests hide."""
        if self._hides is None:
            return False
        pavements = apps.get_model("registry", "Pavement")._default_manager
        return pavements.annotate(hides_more=self._hides).filter(hides_more=True).exists()

    def _clone(self) -> Self:
        rows = super()._clone()
        rows._hides = self._hides
        return rows

    def _fetch_all(self) -> None:
        is_asked = self._hides is not None and self._iterable_class is ModelIterable
        is_fetched = self._result_cache is not None
        if is_asked and not is_fetched:
            self.query.add_annotation(self._hides, "hides_more")
        super()._fetch_all()
        if is_asked and not is_fetched:
            rows: Iterable[Any] = self._result_cache or ()
            veil_fetched(rows)

    def done(self) -> "InfiltrationTestQuerySet":
        """Return tests that took place."""
        return self.standing().filter(state="done")

    def usable(self) -> "InfiltrationTestQuerySet":
        """Return tests that may decide something: a value or a bound."""
        return self.done().filter(use__in=(UseOfTest.TREND, UseOfTest.BOUND))

    def with_open_doubts(self) -> "InfiltrationTestQuerySet":
        """Return tests with a doubt that nobody has answered."""
        return self.filter(has_open_doubts=True)

    def near_in_time(self, day: date, days: int) -> "InfiltrationTestQuerySet":
        """Return tests within so many days of a day, either side."""
        span = timedelta(days=days)
        return self.filter(started_on__gte=day - span, started_on__lte=day + span)

    def days(self) -> "models.QuerySet[Any, date]":
        """Return the days on which there are tests, newest first."""
        return self.order_by("-started_on").values_list("started_on", flat=True).distinct()

    def in_order(self) -> "InfiltrationTestQuerySet":
        """Return tests oldest first; nothing depends on the order of entry."""
        return self.order_by("started_on", "started_at", "run", "pk")


def veil_fetched(rows: Iterable["InfiltrationTest"]) -> None:
    """Take from tests what their doubts tell of hidden entries, where there are any."""
    for row in rows:
        if getattr(row, "hides_more", False) and row.rests_on_others:
            row.veil()


class InfiltrationTest(Entry):
    """One run of one ring at one spot.

    `ring` is in or mm, `water`, `prewet_water` and `water_left` lb or kg, all of `system`.
    `started_on` is the local date; `started_at` the instant, null where no clock was written.
    `result_...` is what the readings gave when last computed; it can be computed again.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="infiltration_tests"
    )
    spot = models.ForeignKey(
        "registry.Spot", on_delete=models.PROTECT, related_name="infiltration_tests"
    )
    number = models.CharField("test no.", max_length=40, blank=True)
    state = models.CharField(
        max_length=8,
        default="done",
        choices={"planned": "planned", "done": "done", "not_done": "not done"},
    )
    not_done_why = models.CharField("not done because", max_length=200, blank=True)
    method = models.CharField("method", max_length=10, choices=TestMethod)
    reason = models.CharField("reason", max_length=16, choices=ReasonForTest, blank=True)
    stratum = models.CharField("stratum", max_length=12, choices=StratumKind, blank=True)
    place_used = models.CharField("place really used", max_length=80, blank=True)
    started_on = models.DateField("date")
    started_at = models.DateTimeField("start", null=True, blank=True)
    run = models.PositiveSmallIntegerField("run", default=1)
    system = models.CharField("read in", max_length=12, choices=ReadingSystem)
    ring = models.FloatField("ring, inside diameter", null=True, blank=True)
    ring_listed = models.ForeignKey(
        "registry.Ring", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    ring_is_assumed = models.BooleanField("diameter assumed, not measured", default=False)
    prewet_water = models.FloatField("prewet water", null=True, blank=True)
    prewet_seconds = models.FloatField("prewet time, s", null=True, blank=True)
    wait_seconds = models.FloatField("prewet end to start, s", null=True, blank=True)
    water = models.FloatField("water poured", null=True, blank=True)
    water_known_by = models.CharField(
        "water known by",
        max_length=6,
        blank=True,
        choices={"scale": "scale", "bucket": "marked bucket"},
    )
    seconds = models.FloatField("time, s", null=True, blank=True)
    ended = models.CharField("ended", max_length=8, choices=Ended, blank=True)
    water_left = models.FloatField("water left when stopped", null=True, blank=True)
    limit_min = models.FloatField("limit, min", null=True, blank=True)
    spoiled_why = models.CharField("spoiled because", max_length=200, blank=True)
    air_c = models.FloatField("air temperature", null=True, blank=True)
    water_c = models.FloatField("water temperature", null=True, blank=True)
    rain_within_24_h = models.CharField(
        "rain in the last 24 h", max_length=3, choices=Answer, blank=True
    )
    rain_ended_at = models.DateTimeField("last rain ended", null=True, blank=True)
    rain_mm = models.FloatField("last rain, depth", null=True, blank=True)
    standing_water = models.CharField("standing water", max_length=3, choices=Answer, blank=True)
    surface = models.CharField(
        "surface", max_length=6, blank=True, choices={"dry": "dry", "damp": "damp"}
    )
    broomed = models.CharField("broomed", max_length=3, choices=Answer, blank=True)
    frost = models.CharField("frost in the pores", max_length=3, choices=Answer, blank=True)
    crack_in_ring = models.CharField(
        "crack, joint or hole in the ring", max_length=3, choices=Answer, blank=True
    )
    seal_leaking = models.CharField("seal leaking", max_length=3, choices=Answer, blank=True)
    slope_percent = models.FloatField("slope, %", null=True, blank=True)
    tester_name = models.CharField("tester", max_length=120, blank=True)
    tested_by = models.CharField("organisation of the tester", max_length=160, blank=True)
    paid_by = models.CharField("paid by", max_length=160, blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)
    stated_value = models.FloatField("rate stated on the sheet", null=True, blank=True)
    stated_unit = models.CharField(max_length=6, blank=True)

    result_value = models.FloatField(null=True, blank=True, editable=False)
    result_sign = models.CharField(max_length=1, blank=True, editable=False)
    result_constant = models.FloatField(null=True, blank=True, editable=False)
    result_rate_mm_h = models.FloatField(null=True, blank=True, editable=False)
    result_estimate = models.FloatField(null=True, blank=True, editable=False)
    no_result_code = models.CharField(max_length=30, blank=True, editable=False)
    no_result_reason = models.CharField(max_length=300, blank=True, editable=False)
    computed_at = models.DateTimeField(null=True, blank=True, editable=False)
    use = models.CharField(max_length=12, choices=UseOfTest, editable=False)
    use_code = models.CharField(max_length=40, blank=True, editable=False)
    use_reason = models.CharField(max_length=300, blank=True, editable=False)
    use_is_decided_by_person = models.BooleanField(default=False, editable=False)
    doubts = models.JSONField(default=list, blank=True, editable=False)
    has_open_doubts = models.BooleanField(
        "a doubt waits for an answer", default=False, editable=False
    )
    answers = models.JSONField("answers to doubts, by code", default=dict, blank=True)

    objects = InfiltrationTestQuerySet.as_manager()

    class Meta:
        ordering = ("-started_on", "-started_at", "-pk")
        indexes = (
            models.Index(fields=("pavement", "started_on")),
            models.Index(fields=("spot", "started_on")),
            models.Index(
                fields=("pavement",), condition=Q(has_open_doubts=True), name="test_open_doubts"
            ),
        )
        constraints = (
            void_has_reason("infiltration_test"),
            models.CheckConstraint(
                name="infiltration_test_readings_are_positive",
                condition=(Q(ring__isnull=True) | Q(ring__gt=0))
                & (Q(water__isnull=True) | Q(water__gt=0))
                & (Q(seconds__isnull=True) | Q(seconds__gt=0))
                & (Q(water_left__isnull=True) | Q(water_left__gte=0)),
            ),
            models.CheckConstraint(
                name="infiltration_test_readings_are_possible",
                # A void entry keeps what was typed.
                condition=Q(void_at__isnull=False) | readings_are_within(),
                violation_error_message="A reading lies beyond what any ring test can give.",
            ),
            models.CheckConstraint(
                name="infiltration_test_not_done_has_reason",
                condition=~Q(state="not_done") | ~Q(not_done_why=""),
            ),
            models.CheckConstraint(
                name="infiltration_test_bound_keeps_its_sign",
                condition=~Q(use="bound") | Q(result_sign__in=("<", ">")),
            ),
            models.CheckConstraint(
                name="infiltration_test_run_counts_from_one", condition=Q(run__gte=1)
            ),
        )

    def __str__(self) -> str:
        return self.number or f"{self.spot} {self.started_on}"

    @property
    def rests_on_others(self) -> bool:
        """Say whether a doubt that was fetched tells of other entries than the run itself."""
        return any(doubt["code"] in ON_OTHERS for doubt in self.__dict__.get("doubts") or ())

    def veil(self) -> None:
        """Take from the row in memory, never saved so, what it tells of other entries."""
        self.use_reason = veil_reason(self.use_reason, self.doubts)
        self.doubts = veil_stored(self.doubts)
