"""A plan of two lanes and two numbers, panels of 3 m by 4 m, drawn in spring 2023."""

from datetime import date

from registry.actions.draw_plan import draw_plan, grid_of_panels
from registry.models import Panel, Pavement, Plan
from tests.factories import PavementFactory

PLACED = date(2023, 4, 1)
NOBODY = {"by": None, "organisation": None}


def drawn_lot(**fields: object) -> Pavement:
    """A lot of A1, A2, B1 and B2."""
    lot = PavementFactory(sheet_system="si", **fields)
    draw(lot, PLACED, grid_of_panels((3.0, 3.0), (4.0, 4.0), placed_on=PLACED))
    return lot


def draw(lot: Pavement, on: date | None, panels: list[Panel], **more: object) -> Plan:
    plan = Plan(pavement=lot, kind="panels", drawn_on=on)
    return draw_plan(plan, panels=panels, **NOBODY, **more)


def panel_of(lot: Pavement, name: str) -> Panel:
    return lot.panels.standing().get(name=name, exists_to_on=None)
