"""How often a permit asks for cleaning ("twice a year"), counted beside the model.

Only what was done counts, and of what was done in part only its rows: the count of the pavement is
that of its least cleaned row. Turned away and called off count as nothing. Once or twice a year is
a minimum of many manuals; days between two cleanings that count as two are this record's own rule.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from registry.planning.faults import PlanningError
from registry.planning.seasons import YearDay

DONE, IN_PART = "done", "in_part"
DAYS_BETWEEN = 30


@dataclass(frozen=True)
class Minimum:
    """times a permit year that begins on a day of the year, by a document.

    days_between  two cleanings closer together than this are not two
    """

    times: int
    year_begins: YearDay
    document: str
    days_between: int = DAYS_BETWEEN

    def __post_init__(self) -> None:
        if self.times < 1 or self.days_between < 0 or self.times * self.days_between > 365:
            raise PlanningError("The cleanings that a permit asks for must fit into its year.")

    def year_of(self, day: date) -> tuple[date, date]:
        """Return the first and last day of the permit year that holds a day."""
        begins = self.year_begins.in_year(day.year)
        first = begins if begins <= day else self.year_begins.in_year(day.year - 1)
        return first, self.year_begins.in_year(first.year + 1) - timedelta(days=1)


@dataclass(frozen=True)
class Visit:
    """What became of a visit: state as stored, and its rows; rows None with "done": all of them."""

    on: date
    state: str
    rows: frozenset[str] | None = None


@dataclass(frozen=True)
class PermitCount:
    """One permit year as of a day.

    done       times that the least cleaned row was cleaned
    missing_rows   rows cleaned less often than the most cleaned, with their counts
    not_counted    visits that count as nothing, with the reason
    next_by    latest day of the next one; of the next permit year where this one has all it asks
    is_late    that day has passed
    """

    first_on: date
    last_on: date
    asked: int
    done: int
    missing_rows: tuple[tuple[str, int], ...]
    not_counted: tuple[tuple[date, str], ...]
    next_by: date
    is_late: bool
    words: str


def permit_count(
    minimum: Minimum, visits: Iterable[Visit], rows: frozenset[str], as_of: date
) -> PermitCount:
    """Count the permit year that holds `as_of`, up to that day. `rows` of the pavement; none: one.

    The next is due so that those still missing fit in before the year ends, `days_between` apart.
    """
    first_on, last_on = minimum.year_of(as_of)
    whole = rows or frozenset({"the whole pavement"})
    counts: Counter[str] = Counter()
    last_of: dict[str, date] = {}
    out: list[tuple[date, str]] = []
    within = sorted((v for v in visits if first_on <= v.on <= as_of), key=lambda v: v.on)
    for visit in within:
        done_rows = _rows_done(visit, rows, whole)
        if isinstance(done_rows, str):
            out.append((visit.on, done_rows))
            continue
        for row in done_rows:
            if row in last_of and (visit.on - last_of[row]).days < minimum.days_between:
                continue
            counts[row] += 1
            last_of[row] = visit.on
    done = min(counts[row] for row in whole)
    most = max(counts[row] for row in whole)
    behind = tuple((row, counts[row]) for row in sorted(whole) if counts[row] < most)
    next_by = _next_by(minimum, done, last_on)
    words = f"{done} of {minimum.times} by {minimum.document}, permit year {first_on} to {last_on}"
    return PermitCount(
        first_on, last_on, minimum.times, done, behind, tuple(out), next_by, next_by < as_of, words
    )


def _next_by(minimum: Minimum, done: int, last_on: date) -> date:
    ends_on = last_on
    missing = minimum.times - done
    if missing <= 0:
        _, ends_on = minimum.year_of(last_on + timedelta(days=1))
        missing = minimum.times
    return ends_on - timedelta(days=(missing - 1) * minimum.days_between)


def _rows_done(visit: Visit, rows: frozenset[str], whole: frozenset[str]) -> frozenset[str] | str:
    """The rows that a visit cleaned, or why it counts as nothing."""
    if visit.state not in (DONE, IN_PART):
        return f"{visit.state.replace('_', ' ')}: no cleaning"
    if visit.state == DONE and visit.rows is None:
        return whole
    if not visit.rows:
        return "done in part, rows not written"
    if not rows:
        return "done by rows, but the rows of the pavement are not known"
    return visit.rows & rows
