"""Minutes of work on a clock that has breaks in it: while a crew rests, no minute passes."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from registry.planning.rounds.crew import Crew
from registry.planning.rounds.hours import Instants, clip, instants_of, join

MINUTE = timedelta(minutes=1)
Rests = tuple[Instants, ...]


def shift_of(crew: Crew, on: date, zone: ZoneInfo) -> Instants | None:
    """Return (begins, ends) in UTC of the shift that begins on a day, None on no working day."""
    span = crew.shift_on(on)
    return None if span is None else instants_of(span, on, zone)


def left_of(shift: Instants, not_before: datetime | None) -> Instants | None:
    """Return what of a shift lies at or after an instant, None where nothing does."""
    if not_before is None or not_before <= shift[0]:
        return shift
    return (not_before, shift[1]) if not_before < shift[1] else None


def rests_of(crew: Crew, on: date, shift: Instants, zone: ZoneInfo) -> Rests:
    """Return the breaks of a shift in UTC; after midnight they belong to it too."""
    days = (on, on + timedelta(days=1))
    return clip(join(instants_of(rest, day, zone) for rest in crew.breaks for day in days), shift)


def begin_of(instant: datetime, rests: Rests) -> datetime:
    """Return the first instant from which work can begin: after a break, if within one."""
    for rests_at, works_at in rests:
        if rests_at <= instant < works_at:
            return works_at
    return instant


def after(begins: datetime, minutes: int, rests: Rests) -> datetime:
    """Return when work of so many minutes is done, breaks added."""
    ends = begin_of(begins, rests) + minutes * MINUTE if minutes else begins
    for rests_at, works_at in rests:
        if begins < works_at and begin_of(begins, rests) <= rests_at < ends:
            ends += works_at - rests_at
    return ends


def before(ends: datetime, minutes: int, rests: Rests) -> datetime:
    """Return the latest instant at which work of so many minutes must begin to be done by then."""
    begins = ends
    left = minutes * MINUTE
    for rests_at, works_at in reversed(rests):
        if works_at <= begins and begins - works_at < left:
            left -= begins - works_at
            begins = rests_at
        elif rests_at < begins < works_at:
            begins = rests_at
    return begins - left


def minutes_between(begins: datetime, ends: datetime, rests: Rests) -> int:
    """Return whole minutes of work between two instants, breaks taken off."""
    rested = sum(
        (min(b, ends) - max(a, begins) for a, b in rests if a < ends and b > begins), 0 * MINUTE
    )
    return int((ends - begins - rested) / MINUTE)
