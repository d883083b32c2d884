"""Changes of a zone's clock, and the VTIMEZONE that tells a calendar of them (RFC 5545, 3.6.5).

The library's own `Timezone.from_tzid` (7.3) gives the onset of summer time by the clock after the
change; 3.6.5 reads it by the one before (TZOFFSETFROM), so that its summer began an hour late.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

A_DAY, A_SECOND = timedelta(days=1), timedelta(seconds=1)


@dataclass(frozen=True)
class ClockChange:
    """From an instant on a clock is `after` ahead of UTC, where it was `before`."""

    at: datetime
    before: timedelta
    after: timedelta
    name: str
    is_summer: bool

    @property
    def on_the_old_clock(self) -> datetime:
        """Return what the clock showed when it was changed, without a zone."""
        return (self.at + self.before).replace(tzinfo=None)


def clock_changes(zone: str, begins_at: datetime, ends_at: datetime) -> Iterator[ClockChange]:
    """Yield the changes of a zone's clock after one instant, up to another, to the second.

    Two changes that undo each other within a day would be missed; no zone has had such.
    """
    here, at = ZoneInfo(zone), begins_at
    while at < ends_at:
        later = min(at + A_DAY, ends_at)
        if _kept(here, at) != _kept(here, later):
            change = _first_after(here, at, later)
            yield _change(here, change, before=at.astimezone(here).utcoffset() or timedelta())
        at = later


def _kept(zone: ZoneInfo, at: datetime) -> tuple[timedelta | None, str | None]:
    local = at.astimezone(zone)
    return local.utcoffset(), local.tzname()


def _first_after(zone: ZoneInfo, old: datetime, new: datetime) -> datetime:
    """Return the first whole second of the new clock, between an instant of each."""
    was = _kept(zone, old)
    while new - old > A_SECOND:
        middle = old + timedelta(seconds=(new - old) // A_SECOND // 2)
        if _kept(zone, middle) == was:
            old = middle
        else:
            new = middle
    return new


def _change(zone: ZoneInfo, at: datetime, *, before: timedelta) -> ClockChange:
    local = at.astimezone(zone)
    return ClockChange(
        at=at,
        before=before,
        after=local.utcoffset() or timedelta(),
        name=local.tzname() or "",
        is_summer=bool(local.dst()) and local.dst() > timedelta(),  # type: ignore[operator]
    )


@lru_cache(maxsize=256)
def zone_component(zone: str, first_year: int, last_year: int) -> Timezone:
    """Return the VTIMEZONE of a local time, with its clock in these years and every change of it.

    The clock with which the first year begins is said to be kept from its first midnight in UTC.
    """
    begins_at = datetime(first_year, 1, 1, tzinfo=UTC)
    kept = begins_at.astimezone(ZoneInfo(zone)).utcoffset() or timedelta()
    first = _change(ZoneInfo(zone), begins_at, before=kept)
    ends_at = datetime(last_year + 1, 1, 1, tzinfo=UTC)
    component = Timezone()
    component.add("tzid", zone)
    for change in (first, *clock_changes(zone, begins_at, ends_at)):
        part = TimezoneDaylight() if change.is_summer else TimezoneStandard()
        part.add("dtstart", change.on_the_old_clock)
        part.add("tzoffsetfrom", change.before)
        part.add("tzoffsetto", change.after)
        part.add("tzname", change.name)
        component.add_component(part)
    return component
