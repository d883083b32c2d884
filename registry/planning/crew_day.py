"""Fit of a crew-day (N22): a day as written, with its clock times, held against the rules.

sum of (travel + N21) <= shift less breaks; every stop inside its access window; dump and water
points open while they are used. Common practice, no source. Rounds are laid out and checked in
`rounds`; this is for a day sheet that somebody wrote.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from registry.planning.faults import PlanningError
from registry.planning.rules import Breach, Rule


@dataclass(frozen=True)
class Span:
    """From one instant to another; elapsed, so that a change of clocks counts as it is."""

    begins_at: datetime
    ends_at: datetime

    def __post_init__(self) -> None:
        if self.begins_at.tzinfo is None or self.ends_at.tzinfo is None:
            raise PlanningError("A span of a crew-day needs instants of a time zone.")
        if self.ends < self.begins:
            raise PlanningError(f"A span ends at {self.ends_at}, before it begins.")

    # In seconds: instants of one zone would be compared and subtracted by their clocks.
    @property
    def begins(self) -> float:
        return self.begins_at.timestamp()

    @property
    def ends(self) -> float:
        return self.ends_at.timestamp()

    @property
    def minutes(self) -> float:
        return (self.ends - self.begins) / 60

    def holds(self, inner: "Span") -> bool:
        return self.begins <= inner.begins and inner.ends <= self.ends

    def overlap_minutes(self, other: "Span") -> float:
        return max(0.0, min(self.ends, other.ends) - max(self.begins, other.begins)) / 60


@dataclass(frozen=True)
class Call:
    """A dump, decant or water point used within a stop or by itself; `open` None: not known."""

    place: str
    rule: Rule
    used: Span
    open: Span | None

    def __post_init__(self) -> None:
        if self.rule not in (Rule.DUMP_HOURS, Rule.WATER_HOURS):
            raise PlanningError("What is called at is a dump or a water point.")


@dataclass(frozen=True)
class Stop:
    """One order on the day.

    travel_minutes  to get here;  needed_minutes  N21;  on_site  as written
    window          hours of the site on that day; None: none set
    """

    order: str
    travel_minutes: float
    needed_minutes: float
    on_site: Span
    window: Span | None = None
    calls: tuple[Call, ...] = ()


@dataclass(frozen=True)
class DaySheet:
    """A shift with its breaks, the stops in their order, and the way home."""

    shift: Span
    stops: tuple[Stop, ...]
    breaks: tuple[Span, ...] = ()
    home_minutes: float = 0.0

    @property
    def free_minutes(self) -> float:
        return self.shift.minutes - sum(self.shift.overlap_minutes(b) for b in self.breaks)

    @property
    def needed_minutes(self) -> float:
        work = sum(stop.travel_minutes + stop.needed_minutes for stop in self.stops)
        return work + self.home_minutes


@dataclass(frozen=True)
class BrokenRule:
    """A breach and the order it is at, "" for the day as a whole."""

    breach: Breach
    order: str = ""


def day_breaches(day: DaySheet) -> tuple[BrokenRule, ...]:
    """Return what the day breaks, in order; nothing: yes, it fits."""
    return tuple(_breaches(day))


def _breaches(day: DaySheet) -> Iterator[BrokenRule]:
    if day.needed_minutes > day.free_minutes + 1e-6:
        words = (
            f"Travel and work take {_hours(day.needed_minutes)}; the shift less breaks has "
            f"{_hours(day.free_minutes)}."
        )
        yield BrokenRule(Breach(Rule.SHIFT, words))
    yield from _shift_ends(day)
    for stop in day.stops:
        yield from (BrokenRule(breach, stop.order) for breach in _stop_breaches(stop, day))
    for before, stop in pairwise(day.stops):
        gap = _working(day, before.on_site.ends_at, stop.on_site.begins_at)
        if gap < stop.travel_minutes - 1e-6:
            words = f"{gap:.0f} min from {before.order}; the drive takes {stop.travel_minutes:.0f}."
            yield BrokenRule(Breach(Rule.TRAVEL, words), stop.order)


def _shift_ends(day: DaySheet) -> Iterator[BrokenRule]:
    if not day.stops:
        return
    first, last = day.stops[0], day.stops[-1]
    leaves = first.on_site.begins - 60 * first.travel_minutes
    if leaves < day.shift.begins - 1e-6:
        yield BrokenRule(Breach(Rule.SHIFT, "The drive begins before the shift."), first.order)
    home = last.on_site.ends + 60 * day.home_minutes
    if home > day.shift.ends + 1e-6:
        yield BrokenRule(Breach(Rule.SHIFT, "The crew is home after the shift."), last.order)


def _stop_breaches(stop: Stop, day: DaySheet) -> Iterator[Breach]:
    if stop.window is not None and not stop.window.holds(stop.on_site):
        yield Breach(Rule.WINDOW, f"On site {_clocks(stop.on_site)}; open {_clocks(stop.window)}.")
    worked = _working(day, stop.on_site.begins_at, stop.on_site.ends_at)
    if worked < stop.needed_minutes - 1e-6:
        words = f"{_hours(worked)} on site; the work takes {_hours(stop.needed_minutes)}."
        yield Breach(Rule.SERVICE, words)
    for call in stop.calls:
        if call.open is None:
            yield Breach(call.rule, f"It is not known when {call.place} is open.")
        elif not call.open.holds(call.used):
            yield Breach(
                call.rule, f"{call.place} {_clocks(call.used)}; open {_clocks(call.open)}."
            )


def _working(day: DaySheet, begins_at: datetime, ends_at: datetime) -> float:
    """Minutes between two instants, breaks left out; below 0 where the second is earlier."""
    if ends_at.timestamp() < begins_at.timestamp():
        return (ends_at.timestamp() - begins_at.timestamp()) / 60
    span = Span(begins_at, ends_at)
    return span.minutes - _within(span, day.breaks)


def _within(span: Span, breaks: Iterable[Span]) -> float:
    return sum(span.overlap_minutes(rest) for rest in breaks)


def _hours(minutes: float) -> str:
    return f"{minutes / 60:.1f} h"


def _clocks(span: Span) -> str:
    return f"{span.begins_at:%H:%M}-{span.ends_at:%H:%M}"
