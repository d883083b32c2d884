"""Move a load, lot, warranty, callback, repair or hand-over from one state to another."""

from datetime import date
from typing import Any

from django.db import transaction

from registry.actions.refresh_callback import refresh_callback
from registry.actions.refresh_standing import OF_LOADS, refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Callback, HandOver, Load, Lot, Organisation, Person, Repair, Warranty
from registry.models.signed_move import SignedMove
from registry.moves import MoveRules
from registry.placing.claim_moves import CALLBACK, IN_DISPUTE, WARRANTY
from registry.placing.hand_over_moves import HAND_OVER
from registry.placing.moves import LOAD, LOT_ACCEPTANCE, REPAIR

Movable = Load | Lot | Warranty | Callback | Repair | HandOver
RULES: dict[type[Movable], MoveRules] = {
    Load: LOAD,
    Lot: LOT_ACCEPTANCE,
    Warranty: WARRANTY,
    Callback: CALLBACK,
    Repair: REPAIR,
    HandOver: HAND_OVER,
}


class CannotMoveVoid(DomainError):
    """The entry is void."""


class NeedsSignature(DomainError):
    """A move out of a dispute has no name of who signs it."""


@transaction.atomic
def move_signed(
    row: Movable,
    *,
    to_state: str,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
    why: str = "",
    is_back: bool = False,
    signed_by: str = "",
    **more: Any,
) -> SignedMove:
    """Store a move and the state it leads to; return the move.

    more  further columns of the move, such as the line of a certificate that is contested
    Raises the refusal of the rules, in words, where the move may not follow, CannotMoveVoid, and
    NeedsSignature for a callback that leaves a dispute unsigned.
    """
    model = type(row)
    rules = RULES[model]
    locked = model.objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotMoveVoid(f"This {rules.thing} is void; it is not moved.")
    moves = list(locked.moves.all())
    earlier = [state for m in moves for state in (m.from_state, m.to_state) if state]
    rules.refuse_move(locked.state, to_state, is_back=is_back, earlier=earlier, why=why)
    _refuse_unsigned(locked, to_state, signed_by)
    move: SignedMove = locked.moves.create(
        from_state=locked.state,
        to_state=to_state,
        is_back=is_back,
        why=why,
        on=on,
        signed_by=signed_by,
        by=by,
        by_organisation=organisation,
        **more,
    )
    changes = {"state": [rules.label(locked.state), rules.label(to_state)]}
    locked.state = to_state
    locked.save(update_fields=["state"])
    row.refresh_from_db()
    if isinstance(locked, Callback):
        refresh_callback(locked)
        row.refresh_from_db()
    if isinstance(locked, OF_LOADS):
        refresh_after(locked)
    verb = "moved back" if is_back else "moved"
    write_line(locked, verb, by=by, organisation=organisation, why=why, changes=changes)
    return move


def _refuse_unsigned(row: Movable, to_state: str, signed_by: str) -> None:
    leaves = row.state in IN_DISPUTE and to_state not in IN_DISPUTE
    if isinstance(row, Callback) and leaves and not signed_by.strip():
        raise NeedsSignature("A move out of a dispute is signed: write the name of who signs it.")
