"""Close a visit: every known defect answered, every panel walked or not seen and why."""

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.answer_defect import refuse_unless_open
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.known_defects import Seen, known_on
from registry.gathering.visit_panels import untold
from registry.models import Organisation, Panel, Person, Visit, VisitState


class CannotClose(DomainError):
    """Something known has no answer, a panel is told of nowhere, or nobody signed."""


@transaction.atomic
def close_visit(
    visit: Visit,
    *,
    signed_by: str,
    seen: Seen,
    panels: Sequence[Panel],
    ended_at: datetime | None = None,
    next_due_on: date | None = None,
    why_not_entered: str = "",
    by: Person | None,
    organisation: Organisation | None,
) -> Visit:
    """Close a visit as done, done in part, or could not enter. Raises CannotClose, in words.

    seen: the defects that the walker's side is shown. panels: those of the plan of that day.
    It is done in part where a panel was not seen or a defect could not be looked at. A visit that
    could not enter answers nothing: what was seen all the same makes it done in part.
    """
    locked = Visit.objects.select_for_update().get(pk=visit.pk)
    refuse_unless_open(locked)
    if not signed_by.strip():
        raise CannotClose("Write who signs the visit.")
    if why_not_entered.strip():
        state = _not_entered(locked)
    else:
        _refuse_unanswered(locked, seen)
        _refuse_untold(locked, panels)
        state = _done(locked, panels)
    locked.state, locked.why_not = state, why_not_entered.strip()
    locked.signed_by, locked.closed_at = signed_by.strip(), timezone.now()
    locked.ended_at = ended_at or locked.ended_at
    locked.next_due_on = next_due_on or locked.next_due_on
    if panels:
        unseen = locked.panels.filter(is_unseen=True).exists()
        locked.walked_all = state != VisitState.NOT_ENTERED and not unseen
    _refuse_end_before_start(locked)
    locked.full_clean(exclude=SET_BY_ACTIONS)
    locked.save(
        update_fields=[
            "state", "why_not", "signed_by", "closed_at", "ended_at", "next_due_on", "walked_all",
        ]
    )  # fmt: skip
    said = locked.get_state_display()
    write_line(locked, "closed", by=by, organisation=organisation, why=said)
    refresh_after(locked)
    return locked


def _not_entered(visit: Visit) -> VisitState:
    if visit.observations.standing().exists() or visit.panels.filter(is_unseen=False).exists():
        raise CannotClose(
            "Something was seen on this visit, so it was entered. Say of the rest that you could "
            "not look, and why; it is then done in part."
        )
    return VisitState.NOT_ENTERED


def _refuse_unanswered(visit: Visit, seen: Seen) -> None:
    open_ones = [k.defect for k in known_on(seen, visit.done_on, visit=visit) if k.answer is None]
    if open_ones:
        named = "; ".join(_name(defect) for defect in open_ones)
        one = len(open_ones) == 1
        raise CannotClose(
            f"{len(open_ones)} known defect{' has' if one else 's have'} no answer yet: {named}. "
            "Say of each: found, not found, or could not look."
        )


def _name(defect: object) -> str:
    number, kind = getattr(defect, "number", ""), defect.get_kind_display()  # type: ignore[attr-defined]
    return f"no. {number} {kind} {getattr(defect, 'place', '')}".strip()


def _refuse_untold(visit: Visit, panels: Sequence[Panel]) -> None:
    if not panels:
        if not visit.walked_all and not visit.note.strip():
            raise CannotClose(
                "Say that the whole pavement was walked, or in the remark what was not seen and "
                "why."
            )
        return
    if left := untold(visit, list(panels)):
        names = ", ".join(panel.name for panel in left)
        raise CannotClose(
            f"Nothing is said of {'panel' if len(left) == 1 else 'panels'} {names}. Say that they "
            "were walked, or not seen and why."
        )


def _done(visit: Visit, panels: Sequence[Panel]) -> VisitState:
    unseen = visit.panels.filter(is_unseen=True).exists()
    not_looked = visit.observations.standing().filter(found="could_not_look").exists()
    partly = not panels and not visit.walked_all
    return VisitState.IN_PART if unseen or not_looked or partly else VisitState.DONE


def _refuse_end_before_start(visit: Visit) -> None:
    if visit.started_at and visit.ended_at and visit.ended_at < visit.started_at:
        raise CannotClose("The visit cannot end before it began: look at both times.")
