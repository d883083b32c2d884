"""Move a work order from one state to another: dated, signed, undone only by a new line."""

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.models import Cleaning, Crew, Organisation, Person, WorkOrder, WorkOrderMove
from registry.planning.faults import CannotMoveOrder
from registry.planning.order_moves import OUTCOMES, STATES, refuse_move

BEFORE_A_DAY = ("asked_for", "approved")
SETTLED_BY = ("checked", "accepted", "to_redo", "billed", "paid")
"""Moves that settle what was done: on its day or later, and no day that is still to come."""


@transaction.atomic
def move_work_order(
    row: WorkOrder,
    *,
    to_state: str,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
    why: str = "",
    is_back: bool = False,
    signed_by: str = "",
    dated_for: date | None = None,
    starts_at: datetime | None = None,
    crew: Crew | None = None,
    invoice: str = "",
    cleaning: Cleaning | None = None,
) -> WorkOrderMove:
    """Store a move and the state it leads to.

    dated_for, starts_at, crew   for a move to “dated”: the day, and if known the instant and crew
    invoice                      for a move to “billed”
    cleaning                     the event of a move to what became of the day; `do_work_order` and
                                 `call_off_work_order` give it
    Raises CannotMoveOrder in words where the move may not follow.
    """
    with_it = WorkOrder.objects.select_for_update(of=("self",)).select_related(
        "pavement__site", "crew"
    )
    locked = with_it.get(pk=row.pk)
    if locked.is_void:
        raise CannotMoveOrder("This work order is void; it is not moved.")
    moves = list(locked.moves.select_related("cleaning"))
    earlier = [state for m in moves for state in (m.from_state, m.to_state) if state]
    refuse_move(locked.state, to_state, is_back=is_back, earlier=earlier, why=why)
    if is_back:
        _refuse_leaving_a_cleaning(moves, to_state)
    elif to_state in OUTCOMES and cleaning is None:
        raise CannotMoveOrder(f"Write down what was done, and the order is “{STATES[to_state]}”.")
    elif to_state in SETTLED_BY:
        _refuse_a_day(locked, moves, to_state, on)
    given = _day_given(locked, moves, to_state, is_back, (dated_for, starts_at, crew))
    move = WorkOrderMove.objects.create(
        order=locked,
        from_state=locked.state,
        to_state=to_state,
        is_back=is_back,
        why=why,
        on=on,
        signed_by=signed_by,
        dated_for=given[0] if to_state == "dated" else None,
        crew=given[2] if to_state == "dated" else None,
        cleaning=cleaning,
        by=by,
        by_organisation=organisation,
    )
    changes = {"state": [STATES[locked.state], STATES[to_state]]}
    changes |= _apply(locked, move, given, invoice)
    row.refresh_from_db()
    verb = "moved back" if is_back else "moved"
    write_line(locked, verb, by=by, organisation=organisation, why=why, changes=changes)
    return move


def _refuse_a_day(row: WorkOrder, moves: Sequence[WorkOrderMove], to_state: str, on: date) -> None:
    """Refuse a check, a bill or a payment before what it settles, or on a day still to come."""
    today = timezone.now().astimezone(ZoneInfo(row.pavement.site.time_zone)).date()
    if on > today:
        raise CannotMoveOrder(f"{on} lies ahead: today is {today} at the site.")
    last = next((m for m in reversed(moves) if m.to_state in (*OUTCOMES, *SETTLED_BY)), None)
    if last is not None and on < last.on:
        raise CannotMoveOrder(
            f"It was “{STATES[last.to_state]}” on {last.on}; {on}, the day given for "
            f"“{STATES[to_state]}”, lies before."
        )


Day = tuple[date | None, datetime | None, Crew | None]


def _day_given(
    row: WorkOrder, moves: Sequence[WorkOrderMove], to_state: str, is_back: bool, given: Day
) -> Day:
    """Return the day, instant and crew that an order has after a move."""
    if to_state in BEFORE_A_DAY:
        return None, None, None
    if to_state != "dated":
        return row.dated_for, row.starts_at, row.crew
    if is_back:
        last = [move for move in moves if move.to_state == "dated"][-1]
        return last.dated_for, row.starts_at, last.crew
    if given[0] is None:
        raise CannotMoveOrder("Say for which day the order is dated.")
    if row.state == "dated" and given == (row.dated_for, row.starts_at, row.crew):
        raise CannotMoveOrder(f"The work order is dated for {given[0]} already.")
    return given


def _apply(row: WorkOrder, move: WorkOrderMove, given: Day, invoice: str) -> dict[str, list[str]]:
    """Write what a move changes on the order; return old and new for the journal."""
    before = (row.dated_for, row.crew)
    row.state = move.to_state
    row.dated_for, row.starts_at, row.crew = given
    fields = ["state", "dated_for", "starts_at", "crew"]
    if move.to_state == "dated" and row.crew is not None:
        row.sweeper = row.crew.organisation
        fields.append("sweeper")
    if move.to_state == "approved" and not move.is_back:
        row.approved_by, row.approved_on = move.signed_by, move.on
        fields += ["approved_by", "approved_on"]
    if move.to_state == "billed" and invoice:
        row.invoice = invoice
        fields.append("invoice")
    # Crew and firm are rows that were fetched: the database holds that they are there.
    exclude = _unchanged(row, fields) | {"crew", "sweeper"}
    row.full_clean(validate_unique=False, exclude=exclude)
    row.save(update_fields=fields)
    after = (row.dated_for, row.crew)
    pairs = zip(("dated_for", "crew"), before, after, strict=True)
    return {name: [str(old or ""), str(new or "")] for name, old, new in pairs if old != new}


def _unchanged(row: WorkOrder, fields: Sequence[str]) -> set[str]:
    return {field.name for field in row._meta.fields} - set(fields)


def _refuse_leaving_a_cleaning(moves: Sequence[WorkOrderMove], to_state: str) -> None:
    """A way back past what was done needs that entry void first, lest it count for two orders."""
    undone: list[WorkOrderMove] = []
    for move in reversed(moves):
        if move.to_state == to_state:
            break
        undone.append(move)
    for move in undone:
        if move.cleaning is not None and not move.cleaning.is_void:
            raise CannotMoveOrder(
                f"“{STATES[move.to_state]}” stands on {move.cleaning}. Void that entry first if it "
                "never was so, then go back."
            )
