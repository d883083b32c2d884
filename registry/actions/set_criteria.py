"""Set design criteria for a pavement; two sets never hold on one day."""

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.actions.end_entry import end_entry
from registry.faults import DomainError
from registry.models import Criteria, Organisation, Pavement, Person
from registry.models.entry import Change


class CriteriaOverlap(DomainError):
    """Two sets of criteria would hold on the same day."""


@transaction.atomic
def set_criteria(
    row: Criteria,
    *,
    ends_old: bool = False,
    by: Person | None,
    organisation: Organisation | None,
) -> Criteria:
    """Store a set. With `ends_old`, a set that holds on its first day ends on that day.

    Raises CriteriaOverlap where another set holds on a day of the new one all the same.
    """
    _lock(row)
    if ends_old and row.from_on is not None:
        for old in Criteria.objects.overlapping(row).filter(to_on__isnull=True):
            if old.from_on is None or old.from_on < row.from_on:
                why = f"“{row.source_document}” holds from then on."
                end_entry(old, on=row.from_on, why=why, by=by, organisation=organisation)
    _refuse_overlap(row)
    return add_entry(row, by=by, organisation=organisation)


@transaction.atomic
def correct_criteria(
    row: Criteria,
    *,
    changes: dict[str, Change],
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Criteria:
    """Correct a set; its new days may not reach into another's. Raises CriteriaOverlap."""
    _lock(row)
    corrected = correct_entry(row, changes=changes, why=why, by=by, organisation=organisation)
    _refuse_overlap(corrected)  # type: ignore[arg-type]
    return corrected  # type: ignore[return-value]


def _lock(row: Criteria) -> None:
    # Two people setting criteria at once would each see the pavement without the other's set.
    Pavement.objects.select_for_update().get(pk=row.pavement_id)


def _refuse_overlap(row: Criteria) -> None:
    other = Criteria.objects.overlapping(row).first()
    if other is not None:
        raise CriteriaOverlap(other.overlap_words)
