"""An order that was asked for, and the moves that bring it to a state."""

from datetime import date
from typing import Any

from registry.actions.ask_for_work_order import ask_for_work_order
from registry.actions.do_work_order import do_work_order
from registry.actions.move_work_order import move_work_order
from registry.models import Cleaning, Organisation, Panel, Pavement, WorkOrder
from tests.factories import OrganisationFactory, PanelFactory, PavementFactory

ASKED_ON, DAY = date(2024, 5, 1), date(2024, 5, 20)
BY_NOBODY: dict[str, Any] = {"by": None, "organisation": None}


def lot(panels: int = 4) -> tuple[Pavement, list[Panel]]:
    pavement = PavementFactory()
    return pavement, [PanelFactory(pavement=pavement, name=f"A{n + 1}") for n in range(panels)]


def asked(pavement: Pavement, organisation: Organisation | None = None, **given: Any) -> WorkOrder:
    parts = {
        name: given.pop(name)
        for name in ("panels", "twice", "before_spots", "after_spots")
        if name in given
    }
    fields = {"method": "vacuum", "asked_by": "J. Ames", "asked_on": ASKED_ON}
    row = WorkOrder(pavement=pavement, **fields | given)
    return ask_for_work_order(
        row, by=None, organisation=organisation or OrganisationFactory(), **parts
    )


def moved(row: WorkOrder, *states: str, on: date = DAY, **given: Any) -> WorkOrder:
    for state in states:
        more = {"dated_for": on} if state == "dated" else {}
        move_work_order(row, to_state=state, on=on, **BY_NOBODY, **more | given)
    return row


def done(row: WorkOrder, state: str = "done", on: date = DAY, **given: Any) -> Cleaning:
    cleaning = Cleaning(method=row.method, done_on=on, state=state)
    for name in ("missed_why", "rows_text", "area_m2"):
        if name in given:
            setattr(cleaning, name, given.pop(name))
    return do_work_order(row, cleaning=cleaning, **BY_NOBODY, **given)
