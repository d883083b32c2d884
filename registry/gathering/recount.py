"""The day a notice counts from, and notices counted otherwise than the terms would count them now.

A day that was counted stays as it was when the terms or their holiday list are corrected; where
the terms as they stand give another, pages say so, and a named person counts anew by a line.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from registry.gathering.warranty_terms import calendar_of, notice_rule
from registry.models import Callback
from registry.placing.faults import ClaimError, NotGiven
from registry.placing.working_days import Counted, counted_received, holiday_list


@dataclass(frozen=True)
class Recount:
    """A callback whose stored day is not the one that the terms as they stand give.

    old_on  the day stored, None where none could be counted then
    now     what the terms give now: a day with its rule, or why none
    """

    row: Callback
    old_on: date | None
    now: Counted | NotGiven

    @property
    def new_on(self) -> date | None:
        """Return the day that the terms give now, None where they give none."""
        return self.now.on if isinstance(self.now, Counted) else None

    @property
    def why(self) -> str:
        """Return the rule of the new day, or why there is none."""
        return self.now.why if isinstance(self.now, Counted) else self.now.reason


def count_notice(row: Callback) -> Counted | NotGiven:
    """Return the day from which a notice counts, or why none can be given.

    Raises ClaimError for a time zone that is none.
    """
    if row.received_at is None:
        return NotGiven("The clock at which the notice came in is not written down.")
    if row.warranty is None:
        return NotGiven("No warranty is named: its notice rule is not known.")
    rule = notice_rule(row.warranty, zone=row.pavement.site.time_zone)
    calendar = calendar_of(row.warranty.holiday_list)
    if isinstance(calendar, NotGiven):
        if rule.closes is not None or rule.working_days_only:
            return calendar
        calendar = holiday_list((), ())
    return counted_received(row.received_at, rule, calendar)


def recount_of(row: Callback) -> Recount | None:
    """Return what counting a notice by the terms as they stand would change; None for nothing.

    The callback comes with its warranty, that one's holiday list, and the site of its pavement.
    """
    try:
        now = count_notice(row)
    except ClaimError as fault:
        now = NotGiven(fault.message)
    found = Recount(row, row.counted_on, now)
    return None if found.new_on == found.old_on else found


def recounts_of(rows: Iterable[Callback]) -> list[Recount]:
    """Return the callbacks that the terms as they stand count otherwise, in their order."""
    return [found for row in rows if (found := recount_of(row)) is not None]
