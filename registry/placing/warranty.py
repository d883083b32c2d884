"""The last day of a warranty, its parts, and whether a notice is in time (N20).

Last day = the day before the n-th anniversary of the start; a start on 29 February has its last
day on 28 February. Parts opened or renewed on other days have their own. A notice is in time when
it counts as received on or before the last day, and within the notice days after discovery. This
is arithmetic on the terms as entered: contract and law decide what they mean.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from registry.placing.faults import ClaimError, NotGiven
from registry.placing.working_days import Counted

REMIND_DAYS = 60


@dataclass(frozen=True)
class Part:
    """A part of a pavement with a cover of its own.

    name        what it is called: "whole lot", "replaced panels"
    panels      its panels; None for all that no other part names
    start_on    the agreed start; None where none is agreed
    years       whole years, 1 to 30
    ended_on    last day by an agreement that ended it early
    """

    name: str
    panels: frozenset[str] | None
    start_on: date | None
    years: int
    ended_on: date | None = None

    @property
    def last_day(self) -> date | NotGiven:
        """Its last day, or why there is none."""
        last = last_day(self.start_on, self.years)
        if isinstance(last, NotGiven) or self.ended_on is None:
            return last
        return min(last, self.ended_on)


def last_day(start_on: date | None, years: int) -> date | NotGiven:
    """Last day of a warranty of whole years."""
    if not 1 <= years <= 30:
        raise ClaimError(f"A warranty runs 1 to 30 years, not {years}.")
    if start_on is None:
        return NotGiven("The start date is not agreed.")
    if (start_on.month, start_on.day) == (2, 29):
        return date(start_on.year + years, 2, 28)
    return start_on.replace(year=start_on.year + years) - timedelta(days=1)


def remind_on(last: date | NotGiven, days: int = REMIND_DAYS) -> date | NotGiven:
    """The day to be reminded of the last day."""
    return last if isinstance(last, NotGiven) else last - timedelta(days=days)


def part_of(panel: str, parts: Sequence[Part], on: date) -> Part | NotGiven:
    """The part that covers a panel on a day: of those that name it and have begun, the newest.

    A renewed part takes its panels out of the old cover from its own start on.
    """
    named = [x for x in parts if x.panels is not None and panel in x.panels and _begun(x, on)]
    rest = [x for x in parts if x.panels is None]
    candidates = named or rest
    if not candidates:
        return NotGiven(f"No warranty is recorded for {panel}.")
    return max(candidates, key=lambda x: x.start_on or date.min)


def split_claim(
    panels: Iterable[str], parts: Sequence[Part], on: date
) -> tuple[tuple[Part | NotGiven, tuple[str, ...]], ...]:
    """The panels of a claim, grouped by the part that covers them: a claim over both is split."""
    groups: dict[Part | NotGiven, list[str]] = {}
    for panel in panels:
        groups.setdefault(part_of(panel, parts, on), []).append(panel)
    return tuple((part, tuple(own)) for part, own in groups.items())


@dataclass(frozen=True)
class NoticeTime:
    """Whether a notice was in time.

    in_period       on or before the last day; a reason where there is no last day
    in_notice_days  within the notice days; None where the term sets none; a reason where the
                    day of discovery is not known
    notice_by       last day of the notice days, None where there are none
    days_used       from discovery to the counted day
    """

    counted: Counted
    last_day: date | NotGiven
    in_period: bool | NotGiven
    in_notice_days: bool | NotGiven | None
    notice_by: date | None
    days_used: int | None

    @property
    def in_time(self) -> bool | NotGiven:
        """True when both are kept, False when one surely is not."""
        both = (self.in_period, self.in_notice_days)
        if False in both:
            return False
        return next((one for one in both if isinstance(one, NotGiven)), True)


def notice_time(
    counted: Counted,
    last: date | NotGiven,
    *,
    discovered_on: date | None = None,
    notice_days: int | None = None,
) -> NoticeTime:
    """Check a notice against the last day and the notice days after discovery."""
    in_period = last if isinstance(last, NotGiven) else counted.on <= last
    if notice_days is None:
        return NoticeTime(counted, last, in_period, None, None, None)
    if discovered_on is None:
        unknown = NotGiven("The day of discovery is not known.")
        return NoticeTime(counted, last, in_period, unknown, None, None)
    if discovered_on > counted.on:
        raise ClaimError(f"Discovered on {discovered_on}, after the notice of {counted.on}.")
    by = discovered_on + timedelta(days=notice_days)
    used = (counted.on - discovered_on).days
    return NoticeTime(counted, last, in_period, counted.on <= by, by, used)


def _begun(part: Part, on: date) -> bool:
    return part.start_on is not None and part.start_on <= on
