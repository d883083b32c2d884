"""Days of a round: one shift of one crew, with its stops in order."""

from datetime import date

from django.db import models
from django.db.models import Q


class RoundDayQuerySet(models.QuerySet["RoundDay"]):
    """Crew-days of rounds."""

    def in_force(self) -> "RoundDayQuerySet":
        """Return the days that were taken over and that no later round replaced."""
        return self.filter(is_in_force=True)

    def with_stops(self) -> "RoundDayQuerySet":
        """Fetch with each day its crew and its stops with order and place; two queries.

        Orders come by a join: fetched by themselves, 1 000 of them are too many for SQLite.
        """
        stops = RoundStop.objects.select_related("order", "dump_place", "water_point")
        return self.select_related("crew").prefetch_related(models.Prefetch("stops", stops))

    def between(self, first_on: date, last_on: date) -> "RoundDayQuerySet":
        """Return the days from one to another, both included."""
        return self.filter(on__range=(first_on, last_on))


class RoundDay(models.Model):
    """One shift of one crew; `on` is the local day on which it begins. Instants are in UTC.

    `is_locked` days were given to the search as they are. Of each crew and day at most one is in
    force: the one a person took over last.
    """

    round = models.ForeignKey("registry.Round", on_delete=models.CASCADE, related_name="crew_days")
    crew = models.ForeignKey("registry.Crew", on_delete=models.PROTECT, related_name="round_days")
    on = models.DateField("day")
    leaves_at = models.DateTimeField("leaves the depot")
    returns_at = models.DateTimeField("back at the depot")
    driving_min = models.PositiveIntegerField("minutes of driving", default=0)
    is_locked = models.BooleanField("locked", default=False)
    is_in_force = models.BooleanField("taken over", default=False)
    taken_over_at = models.DateTimeField(null=True, blank=True)

    objects = RoundDayQuerySet.as_manager()

    class Meta:
        ordering = ("on", "crew_id")
        constraints = (
            models.UniqueConstraint(fields=("round", "crew", "on"), name="round_day_once_a_crew"),
            models.UniqueConstraint(
                fields=("crew", "on"),
                condition=Q(is_in_force=True),
                name="round_day_in_force_once_a_crew",
            ),
            models.CheckConstraint(
                name="round_day_in_force_was_taken_over",
                condition=Q(is_in_force=False) | Q(taken_over_at__isnull=False),
            ),
            models.CheckConstraint(
                name="round_day_ends_after_it_begins",
                condition=Q(returns_at__gte=models.F("leaves_at")),
            ),
        )

    def __str__(self) -> str:
        return f"{self.crew}, {self.on}"


class StopKind(models.TextChoices):
    """What a stop is for."""

    WORK = "work", "sweep"
    DUMP = "dump", "empty"
    WATER = "water", "fill"


class RoundStop(models.Model):
    """One stop: at the pavement of an order, at a dump place or at a water point.

    `drive_min` is the way from the stop before it, or from the depot. `arrives_at` may be before
    `begins_at`, where a crew waits for a place to open. `debris_l` and `water_l` are what an order
    puts into the hopper and takes out of the tank.
    """

    day = models.ForeignKey(RoundDay, on_delete=models.CASCADE, related_name="stops")
    sequence = models.PositiveSmallIntegerField("no.")
    kind = models.CharField("kind", max_length=5, choices=StopKind)
    order = models.ForeignKey(
        "registry.WorkOrder",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="round_stops",
    )
    dump_place = models.ForeignKey(
        "registry.DumpPlace", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    water_point = models.ForeignKey(
        "registry.WaterPoint", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    drive_min = models.PositiveIntegerField("minutes of driving", default=0)
    arrives_at = models.DateTimeField("arrives")
    begins_at = models.DateTimeField("begins")
    ends_at = models.DateTimeField("ends")
    debris_l = models.PositiveIntegerField("debris, L", default=0)
    water_l = models.PositiveIntegerField("water, L", default=0)

    class Meta:
        ordering = ("day_id", "sequence")
        constraints = (
            models.UniqueConstraint(fields=("day", "sequence"), name="round_stop_once_a_place"),
            models.CheckConstraint(
                name="round_stop_is_where_its_kind_says",
                condition=(
                    Q(kind=StopKind.WORK, order__isnull=False)
                    & Q(dump_place__isnull=True, water_point__isnull=True)
                )
                | (
                    Q(kind=StopKind.DUMP, dump_place__isnull=False)
                    & Q(order__isnull=True, water_point__isnull=True)
                )
                | (
                    Q(kind=StopKind.WATER, water_point__isnull=False)
                    & Q(order__isnull=True, dump_place__isnull=True)
                ),
            ),
            models.CheckConstraint(
                name="round_stop_ends_after_it_begins",
                condition=Q(
                    ends_at__gte=models.F("begins_at"), begins_at__gte=models.F("arrives_at")
                ),
            ),
        )

    def __str__(self) -> str:
        return f"{self.sequence}. {self.get_kind_display()} {self.order or self.place}"

    @property
    def place(self) -> models.Model | None:
        """Return the dump place or water point; None at a pavement."""
        return self.dump_place or self.water_point
