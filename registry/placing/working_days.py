"""Calendar and working days of a contract, and the day a notice counts as received (N20).

Working days leave out the contract's days of rest (those its list names) and
its own list of holidays; no list of any state is built in. All dates are those of the place named
in the term: the addressee's for a notice, the site's for the rest.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from registry.placing.faults import ClaimError

WEEKEND = frozenset({5, 6})
"""Saturday and Sunday, as `date.weekday` counts."""
SILENT_LIST = "The holiday list names no day of"
_LONGEST_REST = 400  # days in a row: a list that leaves no working day is a mistake


@dataclass(frozen=True)
class WorkCalendar:
    """The contract's own working days.

    holidays  its list; empty where it names none
    rest      weekdays without work, 0 for Monday
    """

    holidays: frozenset[date] = frozenset()
    rest: frozenset[int] = WEEKEND

    def __post_init__(self) -> None:
        if not self.rest < set(range(7)):
            raise ClaimError("A contract has at least one working day a week.")

    def is_working(self, day: date) -> bool:
        return day.weekday() not in self.rest and day not in self.holidays

    def why_not(self, day: date) -> str:
        """ "a holiday of the contract", "a Saturday"; "" for a working day."""
        if day in self.holidays:
            return "a holiday of the contract"
        return f"a {day:%A}" if day.weekday() in self.rest else ""

    def on_or_after(self, day: date) -> date:
        """The day itself if it is a working day, else the next one."""
        for ahead in range(_LONGEST_REST):
            if self.is_working(day + timedelta(days=ahead)):
                return day + timedelta(days=ahead)
        raise ClaimError("The holiday list leaves no working day for over a year.")

    def add(self, start: date, days: int) -> date:
        """The day `days` working days after `start`, which itself does not count."""
        day = start
        for _ in range(days):
            day = self.on_or_after(day + timedelta(days=1))
        return day

    def not_listed(self, begin: date, end: date) -> str:
        """Say which years of a count a list that names holidays is silent on, "" for none.

        Such a list may be out of date: then a holiday was counted as a working day.
        """
        listed = {day.year for day in self.holidays}
        silent = [str(year) for year in range(begin.year, end.year + 1) if year not in listed]
        if not listed or not silent:
            return ""
        return (
            f" {SILENT_LIST} {' and '.join(silent)}: enter those of the contract, "
            "or a holiday counts as a working day."
        )


def holiday_list(days: Collection[date], rest: Collection[int] = WEEKEND) -> WorkCalendar:
    """A calendar from the list of a contract."""
    return WorkCalendar(frozenset(days), frozenset(rest))


@dataclass(frozen=True)
class NoticeRule:
    """How the term counts a notice as received.

    tz_name             time zone of the addressee
    closes              after this time of day it counts as the next working day; None where the
                        term sets no hours: then it counts on the day it came, until midnight
    working_days_only   on a day of rest or a holiday it counts as the next working day
    """

    tz_name: str
    closes: time | None = None
    working_days_only: bool = False


@dataclass(frozen=True)
class Counted:
    """When a notice came, by the addressee's clock, and the day it counts from, with why."""

    arrived_at: datetime
    on: date
    why: str


def counted_received(arrived_at: datetime, rule: NoticeRule, calendar: WorkCalendar) -> Counted:
    """The counted-received date of a notice. `arrived_at` is aware, in whatever zone."""
    if arrived_at.tzinfo is None:
        raise ClaimError("The time a notice came in needs its time zone.")
    try:
        zone = ZoneInfo(rule.tz_name)
    except (ZoneInfoNotFoundError, ValueError) as fault:
        raise ClaimError(f"“{rule.tz_name}” is not a time zone.") from fault
    local = arrived_at.astimezone(zone)
    day, clock = local.date(), local.time().replace(fold=0)
    came = f"Came {local:%A %Y-%m-%d %H:%M} at the addressee’s place"
    if rule.closes is not None and clock > rule.closes:
        on = calendar.on_or_after(day + timedelta(days=1))
        why = f"{came}, after {rule.closes:%H:%M}: counts as the next working day."
        why += calendar.not_listed(day + timedelta(days=1), on)
    elif rule.working_days_only and not calendar.is_working(day):
        on = calendar.on_or_after(day)
        why = f"{came}, {calendar.why_not(day)}: counts as the next working day."
        why += calendar.not_listed(day, on)
    else:
        on, why = day, f"{came}: counts on that day."
        if rule.working_days_only:
            why += calendar.not_listed(day, day)
    return Counted(local, on, why)
