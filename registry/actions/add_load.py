"""Store a load of a placing day, behind those that came before it."""

from django.db import transaction
from django.db.models import Max

from registry.actions.add_entry import add_entry
from registry.models import Load, LoadMove, Organisation, Person, PlacingDay
from registry.placing.moves import LOAD


@transaction.atomic
def add_load(row: Load, *, by: Person | None, organisation: Organisation | None) -> Load:
    """Store a load with its place in the order of the day and the moves its clocks tell of.

    Ordered, arrived once it has a clock of arrival; what becomes of it is a move of its own.
    """
    day = PlacingDay.objects.select_for_update().get(pk=row.placing_day_id)
    last = day.loads.aggregate(last=Max("order_on_day"))["last"]
    row.order_on_day = (last or 0) + 1
    row.state = "arrived" if row.arrived_at else "ordered"
    add_entry(row, by=by, organisation=organisation)
    for before, state in _states(row):
        LoadMove.objects.create(
            load=row,
            from_state=before,
            to_state=state,
            on=day.placed_on,
            by=by,
            by_organisation=organisation,
        )
    return row


def _states(row: Load) -> list[tuple[str, str]]:
    found = [("", "ordered")]
    if row.state == "arrived":
        LOAD.refuse_move("ordered", "arrived", is_back=False, earlier=(), why="")
        found.append(("ordered", "arrived"))
    return found
