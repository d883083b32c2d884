"""What an order asks to be swept, as areas of the plan, and rows as people type them."""

from collections.abc import Iterable
from datetime import date

from registry.drawing.plan_marks import SweptArea
from registry.gathering.order_rows import ordered_panels, panels_left
from registry.models import Panel, WorkOrder
from registry.models.panel import plan_order
from registry.models.panel_names import NoSuchRow as NoSuchRow
from registry.models.panel_names import read_names
from registry.plan import Layout


def swept_areas(order: WorkOrder, layout: Layout | None, on: date) -> tuple[SweptArea, ...]:
    """Return the panels to sweep; of a whole pavement all, or its outline where it has none.

    Once a part was done, of the panels asked for those that are left.
    """
    if layout is None:
        return ()
    there = {panel.name: panel for panel in layout.panels_on(on)}
    asked = {row.panel.name: row.is_twice for row in ordered_panels(order)}
    left = [panel.name for panel in panels_left(order)]
    names = left or (there if order.covers_all else asked)
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

    Raises NoSuchRow for what names none.
    """
    rows = sorted(panels, key=lambda panel: plan_order(panel.name))
    found = set(read_names(text, [panel.name for panel in rows]))
    return [panel for panel in rows if panel.name in found]
