"""Clock times within a day for what was written with a date alone, so that order stays as told.

A date without a time is a date, not midnight. Where nothing is told, a test and a cleaning stand
at noon; a test that says it was before a cleaning of its day in the morning, one after it in the
evening. Where one of the two has a clock, the other is put on the side that is told: a cleaning
at the very instant of a test counts as after it, so one told to be before it stands a second
earlier. Told are the reason of the test, or its name among the cleaning's tests.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

NOON, MORNING, EVENING = time(12), time(6), time(18)
A_SECOND = timedelta(seconds=1)
SIDE_OF_REASON = {"before_cleaning": "before", "after_cleaning": "after"}

Key = tuple[int, date]


@dataclass
class SameDay:
    """The days of pavements on which they were cleaned, wall clock of the site, without a zone.

    clocks   of each such day, the clocks of its cleanings that have one
    before   of each such day, the last clock of a test told to be before a cleaning
    after    of each such day, the first clock of a test told to be after one
    """

    clocks: dict[Key, list[datetime]] = field(default_factory=dict)
    before: dict[Key, datetime] = field(default_factory=dict)
    after: dict[Key, datetime] = field(default_factory=dict)

    @classmethod
    def of(cls, cleanings: Iterable[tuple[int, date, datetime | None]]) -> "SameDay":
        """Return the days of cleanings given as (pavement, day, clock or None)."""
        found = cls()
        for pavement, on, clock in cleanings:
            clocks = found.clocks.setdefault((pavement, on), [])
            if clock is not None:
                clocks.append(clock)
        return found

    def test_clock(self, key: Key, clock: datetime | None, side: str) -> datetime:
        """Return when a test of a pavement and day ran; note it where it tells a cleaning's side.

        side  "before" or "after" a cleaning of that day, "" where nothing tells
        """
        on = key[1]
        if key not in self.clocks or not side:
            usual = {"before": MORNING, "after": EVENING}.get(side, NOON)
            return clock or datetime.combine(on, usual)
        known = self.clocks[key]
        if side == "before":
            at = clock or min([datetime.combine(on, MORNING), *known])
            self.before[key] = max(at, self.before.get(key, at))
        else:
            evening = datetime.combine(on, EVENING)
            at = clock or max([evening, *(c + A_SECOND for c in known)])
            self.after[key] = min(at, self.after.get(key, at))
        return at

    def cleaning_clock(self, key: Key, clock: datetime | None) -> datetime:
        """Return when a cleaning was done: noon, or as near to it as the tests around it tell.

        Ask once all tests were asked for. Tests that contradict each other leave it at noon.
        """
        if clock is not None:
            return clock
        noon = datetime.combine(key[1], NOON)
        first, after = self.before.get(key), self.after.get(key)
        last = after - A_SECOND if after else None
        if first and last and first > last:
            return noon
        at = max(noon, first) if first else noon
        return min(at, last) if last else at
