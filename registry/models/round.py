"""Rounds: orders laid over the days of crews, worked out in the background and never changed.

What a person changes (a pin, a move, a day called off) makes a new round that points to the one
before it. Work orders follow a round only where its days are taken over (`RoundDay.is_in_force`).
"""

from datetime import timedelta

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from registry.planning.rules import Rule


class RoundState(models.TextChoices):
    """How far the work on a round is."""

    WAITING = "waiting", "waiting for the worker"
    WORKING = "working", "being worked out"
    DONE = "done", "worked out"
    STOPPED = "stopped", "stopped; the best so far is kept"
    FAILED = "failed", "not worked out"


UNDER_WAY = (RoundState.WAITING, RoundState.WORKING)
HAVE_A_PLAN = (RoundState.DONE, RoundState.STOPPED)
MOST_DAYS = 366


class RoundQuerySet(models.QuerySet["Round"]):
    """Rounds."""

    def newest_of_each(self) -> "RoundQuerySet":
        """Return the rounds that no other one was made from, but one that failed."""
        followed = Round.objects.not_failed().filter(made_from__isnull=False)
        return self.exclude(pk__in=followed.values("made_from"))

    def not_failed(self) -> "RoundQuerySet":
        """Return the rounds that were worked out, or still may be."""
        return self.exclude(state=RoundState.FAILED)

    def under_way(self) -> "RoundQuerySet":
        """Return the rounds that wait for the worker or are being worked out."""
        return self.filter(state__in=UNDER_WAY)


class Round(models.Model):
    """One round asked for, and what came of it.

    The question: from `first_on` to `last_on` by the calendar of `time_zone`, `seed`, and
    `iterations` or `seconds` or both as the end of the search. Driving comes from positions,
    `detour_factor` and `speed_km_h`, or from the table `travel`, which later rounds share.
    `weather` is rows of [day, wet or null, lowest in degrees Celsius or null, local hour at which
    the rain ends or null], as foretold; the hour may be lacking.

    The answer: `objective` and `greedy` as {total, driving_minutes, crew_days, crew_day_minutes,
    prize_left, placed}, in minutes of driving; `greedy` is of the nearest-due rule on the same
    question. `input_digest` is of all that went in.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="rounds"
    )
    made_from = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="followed_by"
    )
    because = models.CharField("why it was made", max_length=300, blank=True)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    asked_at = models.DateTimeField(default=timezone.now, editable=False)
    first_on = models.DateField("first day")
    last_on = models.DateField("last day")
    time_zone = models.CharField("local time", max_length=60)
    seed = models.PositiveIntegerField("seed", default=1)
    iterations = models.PositiveIntegerField("iterations at most", null=True, blank=True)
    seconds = models.PositiveIntegerField("seconds at most", null=True, blank=True)
    detour_factor = models.FloatField("way by road over way as the crow flies", default=1.3)
    speed_km_h = models.FloatField("speed on the road", default=35.0)
    travel = models.ForeignKey(
        "registry.TravelTable",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="rounds",
        verbose_name="table of driving times",
    )
    weather = models.JSONField("weather foretold", default=list, blank=True)

    state = models.CharField(
        "state", max_length=8, choices=RoundState, default=RoundState.WAITING, editable=False
    )
    stop_asked = models.BooleanField(default=False)
    begun = models.PositiveSmallIntegerField("times begun", default=0)
    worked_at = models.DateTimeField("last sign of work on it", null=True, blank=True)
    iterations_done = models.PositiveIntegerField(default=0)
    seconds_done = models.FloatField(default=0)
    best_so_far = models.IntegerField("objective of the best so far", null=True, blank=True)

    ended_at = models.DateTimeField(null=True, blank=True)
    stopped_by = models.CharField("what ended the search", max_length=20, blank=True)
    message = models.CharField("why not worked out", max_length=500, blank=True)
    input_digest = models.CharField(max_length=64, blank=True)
    code_version = models.CharField(max_length=40, blank=True)
    orders_given = models.PositiveIntegerField(default=0)
    objective = models.JSONField(null=True, blank=True)
    notes = models.JSONField("crews not planned, and why", default=list, blank=True)
    greedy = models.JSONField("objective of the nearest-due rule", null=True, blank=True)

    objects = RoundQuerySet.as_manager()

    class Meta:
        ordering = ("-pk",)
        indexes = (models.Index(fields=("organisation", "state")),)
        constraints = (
            models.CheckConstraint(
                name="round_ends_after_it_begins", condition=Q(last_on__gte=models.F("first_on"))
            ),
            models.CheckConstraint(
                name="round_has_an_end_of_search",
                condition=Q(iterations__isnull=False) | Q(seconds__isnull=False),
            ),
            models.CheckConstraint(
                name="round_roads_are_roads",
                condition=Q(detour_factor__gte=1, speed_km_h__gt=0),
            ),
            models.CheckConstraint(
                name="round_that_failed_says_why",
                condition=~Q(state=RoundState.FAILED) | ~Q(message=""),
            ),
            models.CheckConstraint(
                name="round_with_a_plan_has_an_objective",
                condition=~Q(state__in=HAVE_A_PLAN) | Q(objective__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return f"round of {self.first_on} to {self.last_on}"

    @property
    def days(self) -> int:
        """Return how many days it covers."""
        return (self.last_on - self.first_on + timedelta(days=1)).days

    @property
    def has_a_plan(self) -> bool:
        """Say whether there are days to look at."""
        return self.state in HAVE_A_PLAN

    @property
    def is_under_way(self) -> bool:
        """Say whether it waits for the worker or is being worked out."""
        return self.state in UNDER_WAY


class RoundPin(models.Model):
    """An order that a person pinned to a day, a crew or both."""

    round = models.ForeignKey(Round, on_delete=models.CASCADE, related_name="pins")
    order = models.ForeignKey("registry.WorkOrder", on_delete=models.PROTECT, related_name="+")
    on = models.DateField("day", null=True, blank=True)
    crew = models.ForeignKey(
        "registry.Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("round", "order"), name="round_pin_once_an_order"),
            models.CheckConstraint(
                name="round_pin_is_to_something",
                condition=Q(on__isnull=False) | Q(crew__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return f"{self.order} pinned"


class RoundCallOff(models.Model):
    """A day on which no work is done, of one crew or, where it names none, of all."""

    round = models.ForeignKey(Round, on_delete=models.CASCADE, related_name="called_off")
    on = models.DateField("day")
    crew = models.ForeignKey(
        "registry.Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    why = models.CharField("because", max_length=160, blank=True)

    class Meta:
        ordering = ("on", "pk")

    def __str__(self) -> str:
        return f"{self.on} called off"


class RoundLeftOut(models.Model):
    """An order that is on no day of a round: the rule that kept it out, and where it came closest.

    `rule` is the name of a `registry.planning.rules.Rule`.
    """

    round = models.ForeignKey(Round, on_delete=models.CASCADE, related_name="left_out")
    order = models.ForeignKey("registry.WorkOrder", on_delete=models.PROTECT, related_name="+")
    rule = models.CharField("rule", max_length=20)
    words = models.TextField("in words")
    crew = models.ForeignKey(
        "registry.Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    on = models.DateField("closest day", null=True, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(fields=("round", "order"), name="round_left_out_once"),
        )

    def __str__(self) -> str:
        return f"{self.order}: {self.words}"

    @property
    def asks(self) -> str:
        """Return what the rule asks, in words."""
        return Rule[self.rule].value
