"""What an order asks to be swept, as areas of the plan, and rows as people type them."""

from collections.abc import Iterable
from datetime import date

from registry.drawing.plan_marks import SweptArea
from registry.faults import DomainError
from registry.gathering.order_rows import ordered_panels
from registry.models import Panel, WorkOrder
from registry.models.panel import plan_order
from registry.plan import Layout


class NoSuchRow(DomainError):
    """Words that name no row or panel of the plan."""


def swept_areas(order: WorkOrder, layout: Layout | None, on: date) -> tuple[SweptArea, ...]:
    """Return the panels to sweep; of a whole pavement all, or its outline where it has none."""
    if layout is None:
        return ()
    there = {panel.name: panel for panel in layout.panels_on(on)}
    asked = {row.panel.name: row.is_twice for row in ordered_panels(order)}
    names = there if order.covers_all else asked
    found = tuple(
        SweptArea(tuple(there[name].polygon.exterior.coords), asked.get(name, False))
        for name in names
        if name in there
    )
    if found or not order.covers_all or len(layout.outline) < 3:
        return found
    return (SweptArea(tuple(layout.outline)),)


def read_rows(text: str, panels: Iterable[Panel]) -> list[Panel]:
    """Return the panels meant by "A-C", "rows A, D3-D8" or "C4", in the order of the plan.

    A letter is a whole row; a span of letters several; a span of panels those between in the
    order of the plan. Raises NoSuchRow for what names none.
    """
    rows = sorted(panels, key=lambda panel: plan_order(panel.name))
    found: dict[int, Panel] = {}
    for part in filter(None, (part.strip() for part in text.replace(";", ",").split(","))):
        words = part.casefold().removeprefix("rows").removeprefix("row").strip()
        first, _, last = (piece.strip() for piece in words.replace("–", "-").partition("-"))
        meant = _between(first, last or first, rows)
        if not meant:
            raise NoSuchRow(f"“{part}” names no row or panel of this plan.")
        found |= {panel.pk: panel for panel in meant}
    return [panel for panel in rows if panel.pk in found]


def _between(first: str, last: str, rows: list[Panel]) -> list[Panel]:
    if first.isalpha() and last.isalpha():
        low, high = (len(first), first), (len(last), last)
        return [p for p in rows if low <= _letters(p) <= high]
    names = [panel.name.casefold() for panel in rows]
    if first not in names or last not in names:
        return []
    return rows[names.index(first) : names.index(last) + 1]


def _letters(panel: Panel) -> tuple[int, str]:
    letters = "".join(sign for sign in panel.name.casefold() if sign.isalpha())
    return len(letters), letters
