"""Note a defect at a place, with the first look at it."""

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.record_observation import record_observation
from registry.actions.refresh_standing import refresh_after_defect
from registry.actions.refuse_days_ahead import refuse_days_ahead
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Defect, DefectMove, Observation, Organisation, Pavement, Person


class CannotRecordDefect(DomainError):
    """The panel or section named with the defect does not belong to its pavement."""


@transaction.atomic
def record_defect(
    row: Defect,
    *,
    by: Person | None,
    organisation: Organisation | None,
    first_look: Observation | None = None,
) -> Defect:
    """Store a defect under the pavement's next number; with its first observation where given.

    Two people at once get two numbers: the pavement is held while the number is taken.
    """
    refuse_strangers(row)
    refuse_days_ahead(row)
    Pavement.objects.filter(pk=row.pavement_id).held().first()
    last = Defect.objects.filter(pavement_id=row.pavement_id).aggregate(last=Max("number"))["last"]
    row.number = (last or 0) + 1
    row.entered_by, row.entered_for, row.entered_at = by, organisation, timezone.now()
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    DefectMove.objects.create(
        defect=row, to_state=row.state, on=row.first_seen_on, by=by, by_organisation=organisation
    )
    write_line(row, "noted", by=by, organisation=organisation)
    refresh_after_defect(row)
    if first_look is not None:
        first_look.defect = row
        record_observation(
            first_look,
            by=by,
            organisation=organisation,
        )
    return row


def refuse_strangers(row: Defect) -> None:
    """Raise CannotRecordDefect where its panel or section is of another pavement."""
    for part in (row.panel, row.section):
        if part is not None and part.pavement_id != row.pavement_id:
            raise CannotRecordDefect(f"{part} is not on this pavement.")
