"""Hours as a notice board gives them, and the instants they are on a given day.

Clocks are local to the round's time zone. A span that ends at or before it begins runs over
midnight and belongs to the day on which it began. Where the clock skips an hour or shows one
twice, an opening takes the later instant and a closing the earlier, so hours are never made wider
than they may turn out to be.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from registry.planning.rounds.faults import RoundError

Instants = tuple[datetime, datetime]
DAY = timedelta(days=1)


@dataclass(frozen=True)
class ClockSpan:
    """From one local clock time to another; `ends` at or before `begins` is on the next day."""

    begins: time
    ends: time

    def __post_init__(self) -> None:
        for clock in (self.begins, self.ends):
            if clock.tzinfo or clock.second or clock.microsecond:
                raise RoundError(f"“{clock}”: hours are given in local time, to the minute.")

    def __str__(self) -> str:
        return f"{self.begins:%H:%M}-{self.ends:%H:%M}"


@dataclass(frozen=True)
class DaySpan:
    """From one day to another, both included."""

    first_on: date
    last_on: date

    def __post_init__(self) -> None:
        if self.last_on < self.first_on:
            raise RoundError(f"The last day, {self.last_on}, is before the first, {self.first_on}.")

    def __contains__(self, on: object) -> bool:
        return isinstance(on, date) and self.first_on <= on <= self.last_on


@dataclass(frozen=True)
class WeekSpan:
    """A span on one day of the week, 0 for Monday to 6 for Sunday; `holds`, from when to when."""

    weekday: int
    span: ClockSpan
    holds: DaySpan | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.weekday <= 6:
            raise RoundError(f"Day of the week {self.weekday}: 0 (Monday) to 6 (Sunday).")

    def is_on(self, on: date) -> bool:
        """Say whether it begins on a day."""
        return self.weekday == on.weekday() and (self.holds is None or on in self.holds)


ALL_DAY = ClockSpan(time(0), time(0))


def week(days: Iterable[int], begins: time, ends: time) -> tuple[WeekSpan, ...]:
    """Return the same span on each of the given days of the week."""
    return tuple(WeekSpan(day, ClockSpan(begins, ends)) for day in days)


def instants_of(span: ClockSpan, on: date, zone: ZoneInfo) -> Instants:
    """Return (opens, closes) in UTC of a span that begins on `on`."""
    ends_on = on + DAY if span.ends <= span.begins else on
    opens = max(_both(on, span.begins, zone))
    closes = min(_both(ends_on, span.ends, zone))
    return opens, max(opens, closes)


def _both(on: date, clock: time, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """The instants that a local clock time may mean; twice the same but at a change of clocks."""
    local = datetime.combine(on, clock, tzinfo=zone)
    return local.astimezone(UTC), local.replace(fold=1).astimezone(UTC)


def open_spans(
    hours: tuple[WeekSpan, ...], closed_on: frozenset[date], within: Instants, zone: ZoneInfo
) -> tuple[Instants, ...]:
    """Return the spans in `within` in which a place with these hours is open, in order.

    No hours at all mean that nobody set any. Spans that touch are joined.
    """
    first = within[0].astimezone(zone).date() - DAY
    days = (within[1].astimezone(zone).date() - first).days + 1
    found = []
    for on in (first + n * DAY for n in range(days)):
        if on in closed_on:
            continue
        spans = [h.span for h in hours if h.is_on(on)] if hours else [ALL_DAY]
        found += [instants_of(span, on, zone) for span in spans]
    return clip(join(found), within)


def join(spans: Iterable[Instants]) -> list[Instants]:
    """Return the spans in order, with those that touch or overlap made one."""
    joined: list[Instants] = []
    for opens, closes in sorted(spans):
        if joined and opens <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], closes))
        else:
            joined.append((opens, closes))
    return joined


def clip(spans: Iterable[Instants], within: Instants) -> tuple[Instants, ...]:
    """Return the parts of the spans that lie inside `within`."""
    cut = ((max(a, within[0]), min(b, within[1])) for a, b in spans)
    return tuple((a, b) for a, b in cut if a < b)


def meet(some: Iterable[Instants], others: Iterable[Instants]) -> tuple[Instants, ...]:
    """Return the spans that lie in both."""
    others = tuple(others)
    return tuple(sorted(part for span in some for part in clip(others, span)))
