"""Take an entry out of use, with a reason; nothing is deleted."""

from django.db import transaction
from django.utils import timezone

from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.frozen import frozen_under, why_frozen, why_signed
from registry.models import Organisation, Person
from registry.models.entry import Entry


class CannotBeVoided(DomainError):
    """The entry is void already, or no reason was given."""


@transaction.atomic
def void_entry(
    row: Entry, *, why: str, by: Person | None, organisation: Organisation | None
) -> Entry:
    """Mark an entry void. Two people doing it at once: the second is told so."""
    if not why.strip():
        raise CannotBeVoided("Say why the entry is void.")
    _refuse_frozen(row)
    now = timezone.now()
    changed = (
        type(row)
        .objects.filter(pk=row.pk, void_at__isnull=True)
        .update(void_at=now, void_why=why, void_by=by)
    )
    if not changed:
        raise CannotBeVoided("This entry is void already.")
    row.refresh_from_db()
    write_line(row, "void", by=by, organisation=organisation, why=why)
    refresh_after(row)
    return row


@transaction.atomic
def mark_double(
    row: Entry, *, kept: Entry, why: str, by: Person | None, organisation: Organisation | None
) -> Entry:
    """Point a double to the entry that is kept; both stay readable."""
    if row.pk == kept.pk:
        raise CannotBeVoided("An entry cannot be a double of itself.")
    _refuse_frozen(row)
    changed = type(row).objects.filter(pk=row.pk, double_of__isnull=True).update(double_of=kept)
    if not changed:
        raise CannotBeVoided("This entry is pointed to another already.")
    row.refresh_from_db()
    changes = {"double_of": ["", str(kept)]}
    write_line(row, "double of", by=by, organisation=organisation, why=why, changes=changes)
    refresh_after(row)
    return row


def _refuse_frozen(row: Entry) -> None:
    if signed := why_signed(row):
        raise CannotBeVoided(signed)
    if (dispute := frozen_under(row)) is not None:
        raise CannotBeVoided(why_frozen(dispute))
