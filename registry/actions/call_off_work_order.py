"""Write down that an order was turned away at the site, or called off before."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from registry.actions.move_work_order import move_work_order
from registry.actions.record_cleaning import record_cleaning
from registry.models import Cleaning, CleaningState, Organisation, Person, WorkOrder
from registry.planning.faults import CannotMoveOrder


@transaction.atomic
def call_off_work_order(
    row: WorkOrder,
    *,
    state: str,
    on: date,
    why: str,
    who: str,
    by: Person | None,
    organisation: Organisation | None,
    at: datetime | None = None,
    cost: Decimal | None = None,
    as_written: dict[str, str] | None = None,
) -> Cleaning:
    """Store the event, with its call-out cost, and move the order. It is no cleaning.

    state   turned_away (the crew came) or called_off (it did not)
    who     who turned it away or called it off: a person, the weather, the machine
    at      the clock of it, if written
    The interval since the last cleaning keeps running. Raises CannotMoveOrder.
    """
    if state not in (CleaningState.TURNED_AWAY, CleaningState.CALLED_OFF):
        raise CannotMoveOrder("Say whether it was turned away or called off.")
    if not why.strip():
        raise CannotMoveOrder("Say why.")
    event = Cleaning(
        pavement=row.pavement,
        work_order=row,
        state=state,
        done_on=on,
        started_at=at,
        method=row.method,
        reason=row.reason if row.reason in _REASONS else "",
        why_not=why,
        not_done_by=who,
        cost=cost,
        firm=str(row.sweeper or ""),
        as_written=as_written or {},
    )
    given: dict[str, Any] = {"by": by, "organisation": organisation}
    record_cleaning(event, **given)
    move_work_order(row, to_state=state, on=on, why=why, signed_by=who, cleaning=event, **given)
    return event


_REASONS = dict(Cleaning._meta.get_field("reason").flatchoices)
