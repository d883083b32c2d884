"""Take a visit out of use with what it said of known defects and wells."""

from django.db import transaction

from registry.actions.answer_defect import undo_move
from registry.actions.void_entry import void_entry
from registry.gathering.known_defects import found_new
from registry.models import Defect, Organisation, Person, Visit


@transaction.atomic
def void_visit(
    row: Visit, *, why: str, by: Person | None, organisation: Organisation | None
) -> list[Defect]:
    """Void a visit, its answers and its well readings; what the answers moved is moved back.

    Defects that it noted stay with their first look, for a person to decide: they are returned.
    """
    new = list(found_new(row))
    void_entry(row, why=why, by=by, organisation=organisation)
    for look in row.observations.standing().exclude(defect__in=new).order_by("-pk"):
        void_entry(look, why=why, by=by, organisation=organisation)
        undo_move(look, why=why, by=by, organisation=organisation)
    for reading in row.well_readings.standing():
        void_entry(reading, why=why, by=by, organisation=organisation)
    return new
