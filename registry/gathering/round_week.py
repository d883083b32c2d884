"""A week of a round as its page shows it: by day and crew, with times, loads and what is pinned."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Prefetch
from django.http import Http404

from registry.models import Crew, Round, RoundDay, RoundLeftOut, RoundPin, RoundStop, WorkOrder

DAY = timedelta(days=1)
WEEK = 7


@dataclass(frozen=True)
class ShownStop:
    """A stop with what the hopper holds and the tank lacks after it, in litres; 0 where none."""

    row: RoundStop
    minutes: int
    waits: int
    hopper_l: int
    used_l: int
    pin: RoundPin | None

    @property
    def hopper_m3(self) -> float:
        """What lies in the hopper after it, in m3."""
        return self.hopper_l / 1000


@dataclass(frozen=True)
class CrewBoard:
    """What a crew has to do on a day; `day` None: nothing is planned."""

    crew: Crew
    on: date
    day: RoundDay | None
    stops: tuple[ShownStop, ...]

    @property
    def hopper_m3(self) -> float | None:
        """What lies in the hopper at its fullest, in m3."""
        most = max((stop.hopper_l for stop in self.stops), default=0)
        return most / 1000 or None


@dataclass(frozen=True)
class DayBoard:
    """One day, crew by crew."""

    on: date
    boards: tuple[CrewBoard, ...]


@dataclass(frozen=True)
class Week:
    """Seven days of a round at most; the first days of all its weeks, to choose another."""

    first_on: date
    days: tuple[DayBoard, ...]
    weeks: tuple[date, ...]

    @property
    def planned(self) -> int:
        """Return how many crew-days have work."""
        return sum(board.day is not None for day in self.days for board in day.boards)


def week_of(
    row: Round, wanted: date | None, crews: Sequence[Crew], pins: Iterable[RoundPin]
) -> Week:
    """Return the week that holds a day, or the first; two queries."""
    begins = _first_day(row)
    weeks = tuple(begins + n * WEEK * DAY for n in range(((row.last_on - begins).days // WEEK) + 1))
    inside = wanted if wanted is not None and begins <= wanted <= row.last_on else begins
    first_on = weeks[(inside - begins).days // WEEK]
    last_on = min(first_on + (WEEK - 1) * DAY, row.last_on)
    pinned = {pin.order_id: pin for pin in pins}
    found = {(day.crew_id, day.on): day for day in _days(row, first_on, last_on)}
    shown_crews = _with_those_planned(crews, found.values())
    days = [
        DayBoard(
            on, tuple(_board(crew, on, found.get((crew.pk, on)), pinned) for crew in shown_crews)
        )
        for on in (first_on + n * DAY for n in range((last_on - first_on).days + 1))
    ]
    return Week(first_on, tuple(days), weeks)


def _first_day(row: Round) -> date:
    """The first day with work: days kept from before a day called off come before the round."""
    first: date | None = row.crew_days.order_by("on").values_list("on", flat=True).first()
    return row.first_on if first is None else min(row.first_on, first)


def _days(row: Round, first_on: date, last_on: date) -> Iterable[RoundDay]:
    stops = RoundStop.objects.select_related(
        "order__pavement__site", "dump_place", "water_point"
    ).order_by("sequence")
    rows = row.crew_days.between(first_on, last_on).select_related("crew")
    return rows.prefetch_related(Prefetch("stops", queryset=stops))


def _with_those_planned(crews: Sequence[Crew], days: Iterable[RoundDay]) -> list[Crew]:
    found = {crew.pk: crew for crew in crews}
    for day in days:
        found.setdefault(day.crew_id, day.crew)
    return list(found.values())


def _board(crew: Crew, on: date, day: RoundDay | None, pinned: dict[int, RoundPin]) -> CrewBoard:
    return CrewBoard(crew, on, day, () if day is None else tuple(_stops(day, pinned)))


def _stops(day: RoundDay, pinned: dict[int, RoundPin]) -> Iterable[ShownStop]:
    hopper = used = 0
    for stop in day.stops.all():
        if stop.kind == "dump":
            hopper = 0
        elif stop.kind == "water":
            used = 0
        hopper, used = hopper + stop.debris_l, used + stop.water_l
        pin = pinned.get(stop.order_id) if stop.order_id else None
        yield ShownStop(
            stop,
            _minutes(stop.begins_at, stop.ends_at),
            _minutes(stop.arrives_at, stop.begins_at),
            hopper,
            used,
            pin,
        )


def _minutes(begins: datetime, ends: datetime) -> int:
    return int((ends - begins).total_seconds() // 60)


@dataclass(frozen=True)
class Compared:
    """What a round costs beside the nearest-due rule, for its title block."""

    objective: int
    greedy: int | None
    placed: int
    left: int
    driving_min: int
    crew_days: int

    @property
    def gain_percent(self) -> float | None:
        """By how much the round is cheaper than the nearest-due rule."""
        if not self.greedy:
            return None
        return 100 * (1 - self.objective / self.greedy)


def compared(row: Round) -> Compared | None:
    """Return the figures of a round that is worked out."""
    if row.objective is None:
        return None
    cost = row.objective
    return Compared(
        objective=cost["total"],
        greedy=row.greedy["total"] if row.greedy else None,
        placed=cost["placed"],
        left=row.orders_given - cost["placed"],
        driving_min=cost["driving_minutes"],
        crew_days=cost["crew_days"],
    )


@dataclass(frozen=True)
class OrderInRound:
    """An order of a round: where it stands, or why it was left out; and its pin."""

    order: WorkOrder
    stop: RoundStop | None
    left_out: RoundLeftOut | None
    pin: RoundPin | None

    @property
    def on(self) -> date | None:
        return self.stop.day.on if self.stop else None

    @property
    def crew(self) -> Crew | None:
        return self.stop.day.crew if self.stop else None


def order_in_round(row: Round, order: int) -> OrderInRound:
    """Return where an order stands in a round. Raises Http404 for one that is not in it."""
    pin = row.pins.filter(order=order).select_related("crew").first()
    stops = RoundStop.objects.filter(day__round=row, order=order)
    stop = stops.select_related("day__crew", "order__pavement__site").first()
    if stop is not None and stop.order is not None:
        return OrderInRound(stop.order, stop, None, pin)
    left = row.left_out.select_related("order__pavement__site", "crew").filter(order=order).first()
    if left is None:
        raise Http404("No such order in this round.")
    return OrderInRound(left.order, None, left, pin)


def first_day_to_take(row: Round, *, at: datetime) -> date:
    """Return its first day, or the first still to come that it keeps of the round before."""
    today = at.astimezone(ZoneInfo(row.time_zone)).date()
    kept = row.crew_days.filter(on__gte=today, on__lt=row.first_on).order_by("on").first()
    return row.first_on if kept is None else kept.on
