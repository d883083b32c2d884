"""All that a round is worked out from, and nothing else: no clock, no rows.

Its days run from `first_on`, so many of them, by the calendar of `zone`; `as_of` is the instant at
which it is asked for.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

from registry.planning.rounds.crew import Crew, DumpPlace, WaterPoint
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay
from registry.planning.rounds.travel import Travel


@dataclass(frozen=True)
class DayWeather:
    """What is known or foretold of a day; None where nothing is.

    rain_ends   of a wet day, by the local clock; an order says how long after it nothing is dry
    """

    wet: bool | None = None
    lowest_c: float | None = None
    rain_ends: time | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Problem:
    """A round to be worked out.

    weather     by day; a day not in it is not known, and forbids nothing
    not_before  no crew leaves sooner; None: the shifts of all days are whole
    called_off  crew-days on which no work is done; a crew of None stands for all
    locked      crew-days that stay as they are; their orders are placed by them
    overdue_days  an order whose latest day is past is to be done within so many of the next days
    overdue_factor  by how much its prize is raised then
    """

    first_on: date
    days: int
    zone: ZoneInfo
    as_of: datetime
    crews: tuple[Crew, ...]
    orders: tuple[Order, ...]
    travel: Travel
    dumps: tuple[DumpPlace, ...] = ()
    water_points: tuple[WaterPoint, ...] = ()
    weather: Mapping[date, DayWeather] = field(default_factory=dict)
    called_off: frozenset[tuple[str | None, date]] = frozenset()
    locked: tuple[CrewDay, ...] = ()
    not_before: datetime | None = None
    overdue_days: int = 14
    overdue_factor: int = 2

    def __post_init__(self) -> None:
        if not 1 <= self.days <= 366:
            raise RoundError("A round is of 1 to 366 days.")
        if self.as_of.tzinfo is None:
            raise RoundError("The instant as of which the round is asked for has no time zone.")
        if self.not_before is not None and self.not_before.tzinfo is None:
            raise RoundError("The instant before which no crew leaves has no time zone.")
        for what, refs in (
            ("crew", [crew.ref for crew in self.crews]),
            ("order", [order.ref for order in self.orders]),
            ("dump place", [dump.place for dump in self.dumps]),
            ("water point", [point.place for point in self.water_points]),
        ):
            twice = sorted({ref for ref in refs if refs.count(ref) > 1}) if _doubled(refs) else []
            if twice:
                raise RoundError(f"Given twice as {what}: {', '.join(twice)}.")
        for place in self._places():
            self.travel.row_of(place)
        self._check_names()

    def _places(self) -> list[str]:
        return [
            *(crew.depot for crew in self.crews),
            *(order.place for order in self.orders),
            *(dump.place for dump in self.dumps),
            *(point.place for point in self.water_points),
        ]

    def _check_names(self) -> None:
        """Pins, dumps and locked days name what there is."""
        for order in self.orders:
            if order.pinned_to is not None and order.pinned_to not in self.crew_by_ref:
                raise RoundError(f"Order {order.ref} is pinned to “{order.pinned_to}”: no crew.")
            if order.dump is not None and order.dump not in self.dump_by_place:
                raise RoundError(f"Order {order.ref} is to dump at “{order.dump}”: no dump place.")
            if order.water is not None and order.water not in self.water_by_place:
                raise RoundError(
                    f"Order {order.ref} takes water at “{order.water}”: no such point."
                )
        for day in self.locked:
            if day.crew not in self.crew_by_ref:
                raise RoundError(f"A locked day is of “{day.crew}”: no crew.")
            for ref in day.order_refs:
                if ref not in self.order_by_ref:
                    raise RoundError(f"A locked day holds order {ref}, which is not given.")

    @cached_property
    def crew_by_ref(self) -> dict[str, Crew]:
        return {crew.ref: crew for crew in self.crews}

    @cached_property
    def order_by_ref(self) -> dict[str, Order]:
        return {order.ref: order for order in self.orders}

    @cached_property
    def dump_by_place(self) -> dict[str, DumpPlace]:
        return {dump.place: dump for dump in self.dumps}

    @cached_property
    def water_by_place(self) -> dict[str, WaterPoint]:
        return {point.place: point for point in self.water_points}

    @cached_property
    def calendar(self) -> tuple[date, ...]:
        """The days of the round, in order."""
        return tuple(self.first_on + timedelta(days=n) for n in range(self.days))

    @cached_property
    def locked_crew_days(self) -> frozenset[tuple[str, date]]:
        return frozenset((day.crew, day.on) for day in self.locked)

    @cached_property
    def locked_refs(self) -> frozenset[str]:
        """The orders that a locked day holds."""
        return frozenset(ref for day in self.locked for ref in day.order_refs)

    @property
    def is_cut_short(self) -> bool:
        """Say whether a part of the round is past."""
        at = self.not_before
        return at is not None and at.astimezone(self.zone).date() >= self.first_on

    def is_overdue(self, order: Order) -> bool:
        """Say whether the latest day of an order is past on the first day of the round."""
        return order.latest_on < self.first_on

    def span_of(self, order: Order) -> tuple[date, date]:
        """Return the first and last day allowed to an order, the next days where overdue."""
        if self.is_overdue(order):
            return self.first_on, self.first_on + timedelta(days=self.overdue_days - 1)
        return order.earliest_on, order.latest_on

    def prize_of(self, order: Order) -> int:
        """Return what an order is worth in minutes of driving, raised where it is overdue."""
        return order.prize * (self.overdue_factor if self.is_overdue(order) else 1)

    def is_called_off(self, crew_ref: str, on: date) -> bool:
        return bool({(crew_ref, on), (None, on)} & self.called_off)


def _doubled(refs: list[str]) -> bool:
    return len(set(refs)) < len(refs)
