"""Take a work order out of use that was never meant, with a reason."""

from django.db import transaction

from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.models import Organisation, Person, WorkOrder


@transaction.atomic
def void_work_order(
    row: WorkOrder, *, why: str, by: Person | None, organisation: Organisation | None
) -> WorkOrder:
    """Mark an order void. Raises CannotBeVoided where something was done on it that stands."""
    if row.cleanings.standing().exists():
        raise CannotBeVoided(
            "What was done, turned away or called off on this order stands on the record. Void "
            "those entries first, or call the order off and drop it."
        )
    void_entry(row, why=why, by=by, organisation=organisation)
    return row
