"""A pavement to be swept: where, how long, on which days and hours, with what.

`None` is a limit or a need that does not apply. Prize and cost are in minutes of driving.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from registry.planning.limits import HOUSE_LIMITS
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan


@dataclass(frozen=True, kw_only=True)
class Limits:
    """The heaviest axle, height, width and turning circle that can get to the pavement."""

    axle_kg: float | None = None
    height_m: float | None = None
    width_m: float | None = None
    turning_m: float | None = None


@dataclass(frozen=True, kw_only=True)
class Needs:
    """What the work asks of crew and day.

    people      at least so many; common practice, no source: two where the public walks
    licence     that the operator must hold
    hose_m      how far the hose must reach
    dry         the surface is dry: no day known to be wet, and `dry_h` from the end of its rain
    lowest_c    the day is not known to be colder
    no_frost    neither the day nor the one after it, for frost within 24 h, is known to go down to
                `frost_c`
    after_test_within_days   a day not known to be wet must follow within so many days
    wash_water  the load is wet and goes only to a place that takes wash water
    """

    people: int = 1
    licence: str | None = None
    hose_m: float | None = None
    dry: bool = False
    dry_h: float = HOUSE_LIMITS.dry_h.value
    lowest_c: float | None = None
    no_frost: bool = False
    frost_c: float = HOUSE_LIMITS.frost_c.value
    after_test_within_days: int | None = None
    wash_water: bool = False


@dataclass(frozen=True, kw_only=True, eq=False)
class Order:
    """One cleaning that is asked for.

    ref              of the order; place, as named in the table of travel
    method           one of those that a machine can do
    service_minutes  N21, rounded up; service_by_crew, where machines differ
    earliest_on, latest_on   both included. A day is that on which the crew's shift began
    prize            risk avoided by doing it, in minutes of driving it is worth
    windows          hours on site; none: any. closed_on: days without any; noise: hours of the
                     day in which machines may be heard
    notice_hours     from the notice to the work; notice_at, when it was given: the round's `as_of`
                     where it is yet to be given
    season           spans of days in which this method makes sense; none: any
    debris_l, water_l   into the hopper, out of the tank
    dump, dump_minutes  a dump run that is part of the time on site and ends it
    water            a water point used within the time on site, by its permit; it is open all of
                     that time, for nobody writes when in it water is taken
    pinned_on, pinned_to   a day, a crew, that a person chose
    """

    ref: str
    place: str
    method: str
    service_minutes: int
    earliest_on: date
    latest_on: date
    prize: int
    service_by_crew: Mapping[str, int] = field(default_factory=dict)
    windows: tuple[WeekSpan, ...] = ()
    closed_on: frozenset[date] = frozenset()
    noise: ClockSpan | None = None
    notice_hours: int = 0
    notice_at: datetime | None = None
    season: tuple[DaySpan, ...] = ()
    limits: Limits = Limits()
    needs: Needs = Needs()
    debris_l: int = 0
    water_l: int = 0
    dump: str | None = None
    dump_minutes: int = 0
    water: str | None = None
    pinned_on: date | None = None
    pinned_to: str | None = None

    def __post_init__(self) -> None:
        if min((self.service_minutes, *self.service_by_crew.values())) < 1:
            raise RoundError(f"Order {self.ref}: the work takes at least a minute.")
        if min(self.prize, self.debris_l, self.water_l, self.notice_hours, self.dump_minutes) < 0:
            raise RoundError(f"Order {self.ref}: prize, loads and hours are no less than 0.")
        if self.latest_on < self.earliest_on:
            raise RoundError(
                f"Order {self.ref}: latest day {self.latest_on} before the earliest,"
                f" {self.earliest_on}."
            )
        if self.notice_at is not None and self.notice_at.tzinfo is None:
            raise RoundError(f"Order {self.ref}: the instant of the notice has no time zone.")

    @property
    def method_words(self) -> str:
        """Return the method without the marks of its key."""
        return self.method.replace("_", " ")

    def minutes_for(self, crew_ref: str) -> int:
        """Return the minutes on site of one crew."""
        return self.service_by_crew.get(crew_ref, self.service_minutes)

    def notice_ends_at(self, as_of: datetime) -> datetime:
        """Return the first whole minute at which the work may begin."""
        ends = (self.notice_at or as_of) + timedelta(hours=self.notice_hours)
        whole = ends.replace(second=0, microsecond=0)
        return whole if whole == ends else whole + timedelta(minutes=1)
