"""Answer a known defect in a visit: found, not found, or could not look."""

from django.db import transaction

from registry.actions.move_defect import move_defect
from registry.actions.record_observation import MEASURES, record_observation
from registry.actions.void_entry import void_entry
from registry.faults import DomainError
from registry.models import Defect, Observation, Organisation, Person, Visit

ANSWERED_ANEW = "answered anew on the same visit"
SAME = ("found", "why_not", "good_light", "severity", "note", *MEASURES)
"""What makes two answers one and the same."""


class CannotAnswer(DomainError):
    """The visit is closed, or somebody else answered meanwhile."""


@transaction.atomic
def answer_defect(
    row: Observation,
    *,
    seen: int | None,
    by: Person | None,
    organisation: Organisation | None,
) -> Observation:
    """Store the answer of a visit under way to one known defect, and return it.

    seen: the id of the answer its writer saw, None where there was none. Another answer that came
    in meanwhile is never overwritten unseen: CannotAnswer says who gave it. A changed answer takes
    the place of the old, which stays readable as void; what the old one moved is moved back. The
    same answer sent twice is one.
    """
    if row.visit is None:
        raise CannotAnswer("An answer belongs to a visit.")
    visit = Visit.objects.select_for_update().get(pk=row.visit.pk)
    refuse_unless_open(visit)
    row.seen_on, row.seen_by = visit.done_on, row.seen_by or visit.walked_by
    row.sheet_number, row.source = row.sheet_number or visit.sheet_number, visit.source
    row.written_at = visit.written_at
    old = visit.observations.standing().filter(defect_id=row.defect_id).first()
    if old is not None:
        if _is_same(old, row):
            return old
        _refuse_unseen(old, seen)
        void_entry(old, why=ANSWERED_ANEW, by=by, organisation=organisation)
        undo_move(old, why=ANSWERED_ANEW, by=by, organisation=organisation)
    return record_observation(row, by=by, organisation=organisation)


def refuse_unless_open(visit: Visit) -> None:
    """Raise CannotAnswer where the visit is no longer under way."""
    if not visit.is_open:
        raise CannotAnswer(
            f"The {visit} is {'void' if visit.is_void else visit.get_state_display()}; what it "
            "says is put right by a correction."
        )


def undo_move(
    look: Observation, *, why: str, by: Person | None, organisation: Organisation | None
) -> None:
    """Move a defect back where the visit's answer moved it and nothing has moved it since."""
    defect = Defect.objects.get(pk=look.defect_id)
    last = defect.moves.order_by("at", "pk").last()
    if last is None or last.visit_id != look.visit_id or not last.from_state:
        return
    move_defect(
        defect,
        to_state=last.from_state,
        is_back=True,
        why=why,
        on=look.seen_on,
        visit=look.visit,
        by=by,
        organisation=organisation,
    )


def _is_same(old: Observation, row: Observation) -> bool:
    """The severity counts only where it was given by eye: else it follows from the measures."""
    for name in SAME:
        if name == "severity" and not (row.severity_by_eye or old.severity_by_eye):
            continue
        if getattr(old, name) != getattr(row, name):
            return False
    return True


def _refuse_unseen(old: Observation, seen: int | None) -> None:
    if old.pk != seen:
        who = f" by {old.entered_by}" if old.entered_by else ""
        raise CannotAnswer(
            f"This was answered meanwhile{who}: {old.get_found_display()}. Yours is not stored "
            "yet: look at both, and press again to put yours in its place."
        )
