"""Begin an inspection visit: from now on its answers are kept one by one."""

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.refuse_days_ahead import refuse_days_ahead
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Pavement, Person, Visit, VisitState
from registry.models.choices import Source


class CannotOpenVisit(DomainError):
    """A visit of the same side is under way there."""


@transaction.atomic
def open_visit(row: Visit, *, by: Person | None, organisation: Organisation | None) -> Visit:
    """Store a visit that is under way. Raises CannotOpenVisit, and DayAhead.

    One side has one visit under way at a pavement, which several people may walk together; a sheet
    of paper is copied in beside it, since its visit is over.
    """
    Pavement.objects.filter(pk=row.pavement_id).held().first()
    refuse_days_ahead(row)
    if row.source != Source.PAPER:
        _refuse_second(row, organisation)
    row.state = VisitState.PLANNED
    row.entered_by, row.entered_for, row.entered_at = by, organisation, timezone.now()
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    write_line(row, "begun", by=by, organisation=organisation)
    return row


def _refuse_second(row: Visit, organisation: Organisation | None) -> None:
    there = Visit.objects.under_way().filter(pavement_id=row.pavement_id)
    other = there.filter(entered_for=organisation).first()
    if other is not None:
        raise CannotOpenVisit(
            f"Your side has a visit of {other.done_on} under way here, begun by "
            f"{other.walked_by}. Go on with it, or close it first."
        )
