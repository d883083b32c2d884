"""When a pavement is to be tested next, and why (5.1).

Yearly; six months after a word "watch"; a permit's own interval where it has one; at once where
nobody ever tested. Common practice, no source; a permit or contract always wins.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import cast
from zoneinfo import ZoneInfo

from django.db.models import Min

from registry.gathering.condition import PavementCondition
from registry.measuring.condition_facts import Word
from registry.measuring.months import months_before
from registry.models import Pavement

USUAL_MONTHS = 12
CURING_DAYS = 7
NO_TEST = "no usable test yet"


@dataclass(frozen=True)
class TestDue:
    """The day of the next test and the reason, in words."""

    __test__ = False

    on: date | None
    why: str


def months_after(day: date, months: int) -> date:
    """Return the same day so many months later, or the last of that month."""
    return months_before(day, -months)


def next_test(condition: PavementCondition) -> TestDue:
    """Return when the next test is due, as seen on the day of the condition."""
    last = condition.last_tested_on
    if last is None:
        return TestDue(condition.today, NO_TEST)
    criteria = condition.demand.criteria
    months, why = USUAL_MONTHS, "a year after the last test"
    if criteria is not None and criteria.test_interval_months:
        months = criteria.test_interval_months
        why = f"every {months} months by {criteria.source_document}"
    watch = condition.facts.limits.watch_test_months
    if condition.word.word is Word.WATCH and months > watch.value:
        months = int(watch.value)
        why = f"{months} months after the last test {watch.by}, since the word is watch"
    return TestDue(months_after(last, months), why)


def first_test(pavement: Pavement, whole: PavementCondition | None) -> TestDue:
    """Return when a pavement that nobody tested was to be tested: after 7 days of curing.

    A part of a split pavement is as old as its concrete but new in the record: `whole` is the
    condition of what it was split from. What was read there before the split counts; it is not
    said of the part's own spots. The day is None where neither is known.
    """
    if whole is not None and whole.last_tested_on is not None:
        on = months_after(whole.last_tested_on, USUAL_MONTHS)
        return TestDue(on, "no test since the split; a year after the last test of the whole")
    cured = pavement.placed_on + timedelta(days=CURING_DAYS) if pavement.placed_on else None
    if whole is None:
        return TestDue(cured, NO_TEST)
    begun = _split_on(pavement)
    days = [day for day in (cured, begun) if day is not None]
    return TestDue(
        max(days, default=None), "neither this part nor the whole before the split has a test"
    )


def _split_on(part: Pavement) -> date | None:
    """Return the first day of a part: of its panels, else of the seats that went on at it."""
    began = part.panels.standing().aggregate(on=Min("exists_from_on"))["on"]
    if began is not None:
        return cast(date, began)
    at = part.seats.aggregate(at=Min("from_at"))["at"]
    return at.astimezone(ZoneInfo(part.site.time_zone)).date() if at else None
