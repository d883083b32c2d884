"""What a spreadsheet did to defects that were in the record before it, undone when it goes."""

import re
from collections.abc import Iterator

from django.db.models import Q

from registry.actions.move_defect import move_defect
from registry.models import Defect, DefectMove, ImportBatch, Person


def moves_of(batch: ImportBatch) -> Q:
    """Return the condition of moves, and links, that the rows of a batch made."""
    return Q(why__startswith=f"spreadsheet no. {batch.pk}, row ")


def reason_alone(why: str) -> str:
    """Return the reason of a move without the row that made it, so that no file takes it back."""
    row = re.match(r"spreadsheet no\. \d+, row \d+(: )?", why)
    return (why[row.end() :] or "a file told it so") if row else why


def moved_since(batch: ImportBatch) -> Iterator[str]:
    """Yield in words the defects that somebody moved after the batch did."""
    for defect, moves in _moved_before_it(batch):
        last = defect.moves.order_by("at", "pk").last()
        if last is not None and last.pk != moves[-1].pk:
            yield f"a move of {defect} on {last.on}"


def move_back(batch: ImportBatch, *, why: str, by: Person | None) -> None:
    """Move defects that were there before the batch back to what they were before its rows."""
    for defect, moves in _moved_before_it(batch):
        if moves[0].from_state != defect.state:
            move_defect(
                defect,
                to_state=moves[0].from_state,
                is_back=True,
                on=moves[-1].on,
                why=f"spreadsheet no. {batch.pk} was taken back: {why}"[:300],
                by=by,
                organisation=batch.organisation,
            )


def _moved_before_it(batch: ImportBatch) -> Iterator[tuple[Defect, list[DefectMove]]]:
    """Yield defects that did not come with the batch, and the moves it made of them."""
    made = DefectMove.objects.filter(moves_of(batch)).exclude(defect__import_batch=batch)
    found: dict[int, list[DefectMove]] = {}
    for move in made.order_by("at", "pk"):
        found.setdefault(move.defect_id, []).append(move)
    for key, moves in found.items():
        yield Defect.objects.get(pk=key), moves
