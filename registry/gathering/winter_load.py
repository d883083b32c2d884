"""What each winter put on a pavement, from the lines of its log (N31)."""

from collections.abc import Iterable, Iterator
from datetime import date

from registry.faults import DomainError
from registry.models import Deicer, WinterEntry
from registry.placing.faults import NotGiven
from registry.placing.winter import (
    SAND,
    WinterLoad,
    days_to_first_deicer,
    winter_loads,
)
from registry.placing.winter import WinterEntry as Line


def lines_of(rows: Iterable[WinterEntry]) -> Iterator[Line]:
    """Yield sand and deicer of each row; a row of both is two lines."""
    for row in rows:
        if row.deicer or row.deicer_kg is not None:
            what = row.spread_as or (str(Deicer(row.deicer).label) if row.deicer else "deicer")
            yield Line(row.done_on, what, row.deicer_kg, is_deicer=True, about=row.is_about)
        if row.sand_kg is not None:
            yield Line(row.done_on, SAND, row.sand_kg, is_deicer=False, about=row.is_about)


def winters_of(
    rows: Iterable[WinterEntry], area_m2: float | None
) -> tuple[WinterLoad, ...] | NotGiven:
    """Return each stuff of each winter by area, or why there is none."""
    lines = list(lines_of(rows))
    if not lines:
        return NotGiven("No sand and no deicer is on the log.")
    if area_m2 is None:
        return NotGiven("The area of the pavement is not known.")
    try:
        return winter_loads(lines, area_m2)
    except DomainError as fault:
        return NotGiven(fault.message)


def first_deicer(rows: Iterable[WinterEntry], placed_on: date | None) -> int | NotGiven:
    """Return the days from placing to the first deicer on the log.

    The log answers from its first line on; whether it was kept before nobody can say.
    """
    lines = sorted(lines_of(rows), key=lambda line: line.on)
    begins = lines[0].on if lines else None
    salted = [line for line in lines if line.is_deicer]
    found = days_to_first_deicer(placed_on, salted, log_begins_on=placed_on if salted else begins)
    return found
