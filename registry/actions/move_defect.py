"""Move a defect from one state to another: dated, signed, undone only by a new line."""

from datetime import date

from django.db import transaction

from registry.actions.refresh_standing import refresh_after_defect
from registry.actions.write_journal import write_line
from registry.defects import STATES, refuse_move
from registry.models import Defect, DefectMove, Organisation, Person, Visit


@transaction.atomic
def move_defect(
    row: Defect,
    *,
    to_state: str,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
    why: str = "",
    is_back: bool = False,
    visit: Visit | None = None,
) -> DefectMove:
    """Store a move and the state it leads to. Raises CannotMove in words where none may follow."""
    locked = Defect.objects.select_for_update().get(pk=row.pk)
    moves = list(locked.moves.all())
    earlier = [state for m in moves for state in (m.from_state, m.to_state) if state]
    refuse_move(locked.state, to_state, is_back=is_back, earlier=earlier, why=why)
    move = DefectMove.objects.create(
        defect=locked,
        from_state=locked.state,
        to_state=to_state,
        is_back=is_back,
        why=why,
        on=on,
        visit=visit,
        by=by,
        by_organisation=organisation,
    )
    changes = {"state": [STATES[locked.state], STATES[to_state]]}
    locked.state = row.state = to_state
    locked.save(update_fields=["state"])
    verb = "moved back" if is_back else "moved"
    write_line(locked, verb, by=by, organisation=organisation, why=why, changes=changes)
    refresh_after_defect(locked)
    return move
