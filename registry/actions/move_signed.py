"""Move a load, lot, warranty, callback, repair or hand-over from one state to another."""

from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import Q

from registry.actions.refresh_callback import refresh_callback
from registry.actions.refresh_standing import OF_LOADS, refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Callback, HandOver, Load, Lot, Organisation, Person, Repair, Warranty
from registry.models.signed_move import SignedMove
from registry.moves import MoveRules
from registry.placing.claim_moves import (
    CALLBACK,
    ENDS_DISPUTE,
    IN_DISPUTE,
    OFFERS_SETTLEMENT,
    WARRANTY,
)
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
    """A move out of a dispute has no name of who signs it, or not the one of the other side."""


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
    NeedsSignature for a callback that leaves a dispute unsigned, or is settled by one side alone.
    """
    model = type(row)
    rules = RULES[model]
    locked = model.objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotMoveVoid(f"This {rules.thing} is void; it is not moved.")
    moves = list(locked.moves.all())
    earlier = [state for m in moves for state in (m.from_state, m.to_state) if state]
    rules.refuse_move(locked.state, to_state, is_back=is_back, earlier=earlier, why=why)
    if isinstance(locked, Callback):
        _refuse_unsigned(locked, to_state, signed_by, why)
        if to_state == ENDS_DISPUTE and not is_back:
            _refuse_one_side(locked, moves, organisation)
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


def _refuse_unsigned(row: Callback, to_state: str, signed_by: str, why: str) -> None:
    leaves = row.state in IN_DISPUTE and to_state not in IN_DISPUTE
    if (leaves or to_state == OFFERS_SETTLEMENT) and not signed_by.strip():
        raise NeedsSignature(
            "A settlement, and a move out of a dispute, is signed: write the name of who signs it."
        )
    if to_state == OFFERS_SETTLEMENT and not (why.strip() or row.settlement.standing().exists()):
        raise NeedsSignature(
            "Nothing is written down that could be signed: add the lines of the settlement first, "
            "or say under “because” which paper holds what is settled."
        )
    if to_state == "ruled" and not why.strip():
        raise NeedsSignature("Say under “because” which court ruled, when and what.")


def _refuse_one_side(
    row: Callback, moves: list[SignedMove], organisation: Organisation | None
) -> None:
    """Refuse a settlement that the side signs which signed it first, or whose lines changed."""
    first = next((m for m in reversed(moves) if m.to_state == OFFERS_SETTLEMENT), None)
    if first is None:
        raise NeedsSignature("No side signed a settlement yet.")
    if not row.is_other_side(first.by_organisation_id, organisation):
        raise NeedsSignature(
            f"{first.by_organisation or 'This side'} signed the settlement on {first.on}. It ends "
            "the dispute once the other side signs it too."
        )
    written = Q(entered_at__gt=first.at) | Q(void_at__gt=first.at)
    if row.settlement.filter(written).exists():
        raise NeedsSignature(
            f"A line of the settlement was written after it was signed on {first.on}: both would "
            "sign something else. Move it back, because the lines changed, and sign it anew."
        )
