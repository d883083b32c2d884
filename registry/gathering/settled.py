"""The settlement of a callback: every line with its cost and each party's amount."""

from collections.abc import Sequence
from decimal import Decimal

from registry.faults import DomainError
from registry.models import SettlementLine as Line
from registry.placing.faults import NotGiven
from registry.placing.settlement import Settlement, SettlementLine, settle


def settled_of(rows: Sequence[Line]) -> Settlement | NotGiven | None:
    """Return the settlement of standing lines, why it has no sum, or None without lines."""
    if not rows:
        return None
    if len({line.area_unit for line in rows}) > 1:
        return NotGiven("The lines are priced by ft² and by m²: they are not added up.")
    if len({line.currency for line in rows}) > 1:
        told = ", ".join(dict.fromkeys(line.currency or "none written down" for line in rows))
        return NotGiven(f"The lines are in different currencies ({told}): they are not added up.")
    try:
        return settle([_line(line) for line in rows])
    except DomainError as fault:
        return NotGiven(fault.message)


def _line(line: Line) -> SettlementLine:
    shares = {party: Decimal(percent) for party, percent in line.share_percents}
    panels = tuple(line.panels) or (line.panels_text,)
    return SettlementLine(panels, line.area, line.unit_price, shares)
