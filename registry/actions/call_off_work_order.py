"""Write down that an order was turned away at the site, or called off before."""

from typing import Any

from django.db import transaction

from registry.actions.move_work_order import move_work_order
from registry.actions.record_cleaning import record_cleaning
from registry.models import Cleaning, CleaningState, Organisation, Person, WorkOrder
from registry.planning.faults import CannotMoveOrder


@transaction.atomic
def call_off_work_order(
    row: WorkOrder, *, event: Cleaning, by: Person | None, organisation: Organisation | None
) -> Cleaning:
    """Store the event, with its call-out cost, and move the order. It is no cleaning.

    event   unsaved: its state turned_away (the crew came) or called_off (it did not), done_on, why
            in `why_not`, who in `not_done_by`, the clock in `started_at`, the call-out in `cost`;
            pavement, order, method and firm are set here where it leaves them open
    The interval since the last cleaning keeps running. Raises CannotMoveOrder.
    """
    if event.state not in (CleaningState.TURNED_AWAY, CleaningState.CALLED_OFF):
        raise CannotMoveOrder("Say whether it was turned away or called off.")
    if not event.why_not.strip():
        raise CannotMoveOrder("Say why it was turned away or called off.")
    event.pavement, event.work_order = row.pavement, row
    event.method = event.method or row.method
    event.firm = event.firm or str(row.sweeper or "")
    given: dict[str, Any] = {"by": by, "organisation": organisation}
    record_cleaning(event, **given)
    move_work_order(
        row,
        to_state=str(event.state),
        on=event.done_on,
        why=event.why_not,
        signed_by=event.not_done_by,
        cleaning=event,
        **given,
    )
    return event
