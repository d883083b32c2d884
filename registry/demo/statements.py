"""When the owners' yearly statements reached the town: with them went the year's readings."""

import re
from datetime import date

from registry.demo.tables import read_table

LEFT_OUT = frozenset({"T-245"})
"""A test that a statement left out and the town found a year later (PP-19-06, 2023)."""

STATED_LATER = {"A-35": date(2026, 8, 20), "A-36": date(2026, 8, 20)}
"""The buyer's first statement for PP-25-02 rests on the acceptance tests: there are no others."""

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def sent_on(town_number: str, on: date, part: str = "") -> date | None:
    """Return the day on which the statement of a reading's permit year was received.

    A permit year ends on 30 June. A statement that was returned does not count as received
    before it came again (the last day of a cell); one that never came sends nothing. `part` is
    that of a split lot, "10A".
    """
    year_end = on.year + (on.month > 6)
    cells = {line["town no."]: line for line in read_table("3C_statements")}
    line = cells.get(town_number)
    column = next((c for c in (line or {}) if c.endswith(f"to {year_end}-06-30")), None)
    if line is None or column is None:
        return None
    days = DAY.findall(_of_part(line[column], part))
    return max(map(date.fromisoformat, days), default=None)


def _of_part(cell: str, part: str) -> str:
    """Return what a cell says of one part, where it tells them apart."""
    if not part or "10A" not in cell:
        return cell
    return next(piece for piece in cell.split(";") if part in piece)
