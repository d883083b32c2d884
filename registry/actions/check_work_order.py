"""Check what was done of an order: accepted, or to redo, with the tests after it."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import transaction

from registry.actions.move_work_order import move_work_order
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.gathering.order_rows import cleanings_that_count
from registry.models import Cleaning, InfiltrationTest, Organisation, Person, WorkOrder
from registry.planning.faults import CannotMoveOrder


@transaction.atomic
def check_work_order(
    row: WorkOrder,
    *,
    verdict: str,
    on: date,
    checked_by: str,
    by: Person | None,
    organisation: Organisation | None,
    why: str = "",
    after_tests: Iterable[InfiltrationTest] = (),
) -> WorkOrder:
    """Move an order that was done to checked, then to its verdict: accepted or to_redo.

    after_tests   set beside the newest cleaning of the order, so that its gain is known
    Raises CannotMoveOrder in words.
    """
    if verdict not in ("accepted", "to_redo"):
        raise CannotMoveOrder("Say whether it is accepted or to be redone.")
    if verdict == "to_redo" and not why.strip():
        raise CannotMoveOrder("Say why it is to be redone.")
    given: dict[str, Any] = {"by": by, "organisation": organisation}
    newest = cleanings_that_count(row).in_order().last()
    if newest is not None:
        _note_check(newest, checked_by, list(after_tests), **given)
    if row.state != "checked":
        move_work_order(row, to_state="checked", on=on, signed_by=checked_by, **given)
    move_work_order(row, to_state=verdict, on=on, why=why, signed_by=checked_by, **given)
    return row


def _note_check(
    cleaning: Cleaning,
    checked_by: str,
    tests: list[InfiltrationTest],
    *,
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    """Set the tests after a cleaning and who checked it, with a line."""
    for test in tests:
        if test.pavement_id != cleaning.pavement_id:
            raise CannotMoveOrder(f"{test} is not on this pavement.")
    changes = {"checked_by": [cleaning.checked_by, checked_by]}
    if tests:
        changes["after_tests"] = ["", ", ".join(str(test) for test in tests)]
    cleaning.checked_by = checked_by
    cleaning.save(update_fields=["checked_by"])
    cleaning.after_tests.add(*tests)
    write_line(cleaning, "checked", by=by, organisation=organisation, changes=changes)
    if tests:
        refresh_after(cleaning)
