"""Record a cleaning, or that one was turned away or called off."""

from collections.abc import Iterable, Mapping

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.refresh_standing import refresh_after
from registry.actions.refuse_days_ahead import refuse_days_ahead
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import (
    CleanedPanel,
    Cleaning,
    InfiltrationTest,
    Organisation,
    Panel,
    Person,
)


class CannotRecordCleaning(DomainError):
    """Panels or tests named with the cleaning do not belong to its pavement."""


@transaction.atomic
def record_cleaning(
    row: Cleaning,
    *,
    by: Person | None,
    organisation: Organisation | None,
    covered: Iterable[Panel] = (),
    missed: Mapping[Panel, str] | None = None,
    before_tests: Iterable[InfiltrationTest] = (),
    after_tests: Iterable[InfiltrationTest] = (),
) -> Cleaning:
    """Store a cleaning with the panels it covered and missed (and why) and the tests around it.

    A missed panel keeps the date of its last cleaning.
    """
    covered, missed = list(covered), dict(missed or {})
    before_tests, after_tests = list(before_tests), list(after_tests)
    refuse_strangers(row, [*covered, *missed, *before_tests, *after_tests])
    refuse_days_ahead(row)
    row.entered_by = by
    row.entered_for = organisation
    row.entered_at = timezone.now()
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    CleanedPanel.objects.bulk_create(
        [CleanedPanel(cleaning=row, panel=p) for p in covered]
        + [CleanedPanel(cleaning=row, panel=p, is_missed=True, why=w) for p, w in missed.items()]
    )
    row.before_tests.set(before_tests)
    row.after_tests.set(after_tests)
    write_line(row, "recorded", by=by, organisation=organisation)
    refresh_after(row)
    return row


def refuse_strangers(row: Cleaning, parts: Iterable[Panel | InfiltrationTest]) -> None:
    """Raise CannotRecordCleaning for a panel or test of another pavement."""
    for part in parts:
        if part.pavement_id != row.pavement_id:
            raise CannotRecordCleaning(f"{part} is not on this pavement.")
