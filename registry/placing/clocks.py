"""Answer clocks: what is due when, by which rule, and what became of it (N20).

A limit counts calendar or working days after its event, the day of the event not counted. If the
last day is no working day and the term says so, the next one counts; both dates are shown. A date
that both signed later takes the place of the counted one and both stay to be seen.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from registry.placing.faults import ClaimError, NotGiven
from registry.placing.working_days import WorkCalendar


class Counting(StrEnum):
    CALENDAR = "calendar"
    WORKING = "working"


@dataclass(frozen=True)
class Limit:
    """A number of days of a term.

    after            what it counts from, in words: "the counted-received date"
    to_working_day   a last day that is no working day moves to the next one
    """

    days: int
    counting: Counting
    after: str
    to_working_day: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.days <= 3650:
            raise ClaimError("A limit is 0 days to ten years.")

    @property
    def words(self) -> str:
        """ "5 working days after the counted-received date"."""
        kind = "working " if self.counting is Counting.WORKING else ""
        unit = "day" if self.days == 1 else "days"
        return f"{self.days} {kind}{unit} after {self.after}"


@dataclass(frozen=True)
class Due:
    """When something is due.

    counted_on  by the days alone
    on          after the rule of the next working day, and after an agreed date
    why         the rule, what moved it, and which years the holiday list is silent on
    """

    counted_on: date
    on: date
    why: str


def due(
    event_on: date | None, limit: Limit, calendar: WorkCalendar, *, agreed_on: date | None = None
) -> Due | NotGiven:
    """The due date of a limit. Says so where its event has no date.

    agreed_on  a new date that both have signed
    """
    if event_on is None:
        return NotGiven(f"Counts from {limit.after}, which has no date yet.")
    if limit.counting is Counting.WORKING:
        counted = calendar.add(event_on, limit.days)
    else:
        counted = event_on + timedelta(days=limit.days)
    on, why = counted, f"{limit.words}."
    if limit.to_working_day and (rest := calendar.why_not(counted)):
        on = calendar.on_or_after(counted)
        why = f"{why} {counted} is {rest}: the next working day counts."
    why += _years_not_listed(limit, calendar, event_on, counted, on)
    if agreed_on is not None:
        why = f"{why} Both signed {agreed_on} instead of {on}."
        on = agreed_on
    return Due(counted, on, why)


def _years_not_listed(
    limit: Limit, calendar: WorkCalendar, event_on: date, counted: date, on: date
) -> str:
    """Say of which years the count needed holidays that the contract's list does not name."""
    if limit.counting is Counting.WORKING:
        return calendar.not_listed(event_on + timedelta(days=1), max(event_on, on))
    return calendar.not_listed(counted, on) if limit.to_working_day else ""


class Result(StrEnum):
    IN_TIME = "in_time"
    LATE = "late"
    OPEN = "open"
    OVERDUE = "overdue"
    NOT_RUNNING = "not_running"


@dataclass(frozen=True)
class Clock:
    """One limit with what became of it; `days` is late by, over by, or left."""

    name: str
    due: Due | NotGiven
    done_on: date | None
    result: Result
    days: int

    @property
    def words(self) -> str:
        """ "in time", "4 days late", "overdue by 46 days", "3 days left"."""
        unit = "day" if self.days == 1 else "days"
        if isinstance(self.due, NotGiven):
            return self.due.reason
        return {
            Result.IN_TIME: "in time",
            Result.LATE: f"{self.days} {unit} late",
            Result.OVERDUE: f"overdue by {self.days} {unit}",
            Result.OPEN: f"{self.days} {unit} left" if self.days else "due today",
            Result.NOT_RUNNING: "",
        }[self.result]


def clock(name: str, due_on: Due | NotGiven, done_on: date | None, *, today: date) -> Clock:
    """Judge one limit as of `today`, the date at the place of whoever has to answer."""
    if isinstance(due_on, NotGiven):
        return Clock(name, due_on, done_on, Result.NOT_RUNNING, 0)
    judged_on = today if done_on is None else done_on
    over = (judged_on - due_on.on).days
    if done_on is None:
        result = Result.OVERDUE if over > 0 else Result.OPEN
    else:
        result = Result.LATE if over > 0 else Result.IN_TIME
    return Clock(name, due_on, done_on, result, abs(over))
