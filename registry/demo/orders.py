"""Work orders behind the cleanings of the tables: asked for, approved, dated, done or called off.

The tables tell what was done; on which day it was asked for and approved, and by whom, is invented.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from registry.actions.ask_for_work_order import ask_for_work_order
from registry.actions.call_off_work_order import call_off_work_order
from registry.actions.check_work_order import check_work_order
from registry.actions.do_work_order import do_work_order
from registry.actions.move_work_order import move_work_order
from registry.demo.people import Author
from registry.models import Cleaning, Crew, InfiltrationTest, Panel, Pavement, WorkOrder

ASKED_BEFORE, APPROVED_BEFORE = timedelta(days=21), timedelta(days=18)
ALL_FORBIDDEN = ["wire_broom", "closing_agents", "storm_drain"]


@dataclass
class Ask:
    """An order not stored yet, for one day; `rows` are letters of lanes, "" the whole pavement."""

    pavement: Pavement
    day: date
    method: str
    rows: str = ""
    crew: Crew | None = None
    fields: dict[str, Any] = field(default_factory=dict)


def date_order(ask: Ask, author: Author) -> WorkOrder:
    """Ask for an order, approve it and date it."""
    writer = str(author["by"] or author["organisation"])
    there = ask.pavement.panels.standing().existing_on(ask.day)
    panels = [panel for panel in there if panel.name[0] in ask.rows] if ask.rows else []
    fields: dict[str, Any] = {
        "covers_all": not ask.rows,
        "rows_text": f"rows {ask.rows[0]}-{ask.rows[-1]}" if ask.rows else "",
        "asked_by": writer,
        "asked_on": ask.day - ASKED_BEFORE,
        "do_not": ALL_FORBIDDEN,
        "note": "The days before the work are invented.",
    }
    row = WorkOrder(pavement=ask.pavement, method=ask.method, **fields | ask.fields)
    if ask.crew is not None:
        row.sweeper = ask.crew.organisation
    ask_for_work_order(row, panels=panels, **author)
    given: dict[str, Any] = {"signed_by": writer, **author}
    move_work_order(row, to_state="approved", on=ask.day - APPROVED_BEFORE, **given)
    date_again(row, ask.day, author, crew=ask.crew, on=ask.day - APPROVED_BEFORE)
    return row


def date_again(
    row: WorkOrder, day: date, author: Author, *, crew: Crew | None = None, on: date | None = None
) -> None:
    """Date an order for a day."""
    given: dict[str, Any] = {"dated_for": day, "crew": crew, **author}
    move_work_order(row, to_state="dated", on=on or day, **given)


def carry_out(
    order: WorkOrder,
    row: Cleaning,
    author: Author,
    *,
    missed: dict[Panel, str],
    before: Iterable[InfiltrationTest],
    after: Iterable[InfiltrationTest],
) -> Cleaning:
    """Store what became of an order's day; what was done whole is checked and accepted."""
    if not row.is_cleaning:
        return call_off_work_order(order, event=row, **author)
    tests = {"before_tests": before, "after_tests": after}
    do_work_order(order, cleaning=row, missed=missed, **tests, **author)  # type: ignore[arg-type]
    if order.state == "done":
        checked_by = str(author["by"] or author["organisation"])
        check_work_order(order, verdict="accepted", on=row.done_on, checked_by=checked_by, **author)
    return row
