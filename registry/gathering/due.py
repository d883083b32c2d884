"""When a pavement is to be tested next, and why (5.1).

Yearly; six months after a word "watch"; a permit's own interval where it has one; at once where
nobody ever tested. Common practice, no source; a permit or contract always wins.
"""

from dataclasses import dataclass
from datetime import date

from registry.gathering.condition import PavementCondition
from registry.measuring.condition import months_before
from registry.measuring.condition_facts import Word

USUAL_MONTHS = 12
WATCH_MONTHS = 6


@dataclass(frozen=True)
class TestDue:
    """The day of the next test and the reason, in words."""

    __test__ = False

    on: date
    why: str


def months_after(day: date, months: int) -> date:
    """Return the same day so many months later, or the last of that month."""
    return months_before(day, -months)


def next_test(condition: PavementCondition) -> TestDue:
    """Return when the next test is due, as seen on the day of the condition."""
    last = condition.last_tested_on
    if last is None:
        return TestDue(condition.today, "no usable test yet")
    criteria = condition.demand.criteria
    months, why = USUAL_MONTHS, "a year after the last test"
    if criteria is not None and criteria.test_interval_months:
        months = criteria.test_interval_months
        why = f"every {months} months by {criteria.source_document}"
    if condition.word.word is Word.WATCH and months > WATCH_MONTHS:
        months, why = WATCH_MONTHS, "six months after the last test, since the word is watch"
    return TestDue(months_after(last, months), why)
