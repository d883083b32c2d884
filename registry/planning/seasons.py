"""A season of the year: what it is for, what it rules out, from when to when.

A calendar is a tuple of `Season`, edited by its owner. Days of the year are the rule; what really
happened in a year (last sand, last frost, leaf, first frost) takes their place where it is dated.
A method that a season rules out is ruled out on all its days, whatever another season says; one
that no season names is left open.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

from registry.planning.faults import PlanningError
from registry.planning.methods import Method

DAY = timedelta(days=1)
NEAREST_DAYS = 182  # a dated fact stands for the day of the calendar that is within half a year


class Fact(Enum):
    """What is dated once a year, in words."""

    LAST_SAND = "last sand"
    LAST_FROST = "last frost"
    LEAF_DOWN = "nine tenths of the leaves down"
    FIRST_FROST = "first frost"


@dataclass(frozen=True)
class DatedFact:
    fact: Fact
    on: date


@dataclass(frozen=True, order=True)
class YearDay:
    """A month and day; 29 February is the 28th in a year without it."""

    month: int
    day: int

    def __post_init__(self) -> None:
        try:
            date(2000, self.month, self.day)
        except ValueError as wrong:
            raise PlanningError(f"{self.month}-{self.day} is no day of the year.") from wrong

    def in_year(self, year: int) -> date:
        if (self.month, self.day) == (2, 29):
            return date(year, 3, 1) - DAY
        return date(year, self.month, self.day)


@dataclass(frozen=True)
class Season:
    """From a day of the year to another, both included; over the new year where it ends earlier.

    methods, methods_not   those it is for, those it rules out
    begins_after   facts: where some are dated, it begins on the day after the latest of them
    begins_at      a fact: where it is dated, it begins on that day
    ends_at        facts: where some are dated, it ends on the latest of them
    """

    name: str
    begins: YearDay
    ends: YearDay
    methods: frozenset[Method] = frozenset()
    methods_not: frozenset[Method] = frozenset()
    to_do: str = ""
    not_to_do: str = ""
    reason: str = ""
    begins_after: frozenset[Fact] = frozenset()
    begins_at: frozenset[Fact] = frozenset()
    ends_at: frozenset[Fact] = frozenset()

    def __post_init__(self) -> None:
        if both := self.methods & self.methods_not:
            named = ", ".join(sorted(both))
            raise PlanningError(f"{self.name}: {named} cannot be both for it and not for it.")

    def days_from(self, year: int, facts: Iterable[DatedFact]) -> tuple[date, date]:
        """Return (first, last) of the season that begins in a year; last before first: none."""
        known = tuple(facts)
        begins = self.begins.in_year(year)
        ends = self.ends.in_year(year + (self.ends < self.begins))
        after = _latest(known, self.begins_after, begins)
        at = _latest(known, self.begins_at, begins)
        moved = [day for day in (after and after + DAY, at) if day]
        return max(moved, default=begins), _latest(known, self.ends_at, ends) or ends

    def holds_on(self, day: date, facts: Iterable[DatedFact]) -> bool:
        known = tuple(facts)
        spans = (self.days_from(year, known) for year in range(day.year - 1, day.year + 2))
        return any(first <= day <= last for first, last in spans)


def _latest(known: Iterable[DatedFact], wanted: frozenset[Fact], near: date) -> date | None:
    days = [d.on for d in known if d.fact in wanted and abs((d.on - near).days) <= NEAREST_DAYS]
    return max(days, default=None)
