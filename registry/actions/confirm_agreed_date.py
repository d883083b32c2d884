"""The other side confirms a new date for a step: from then on the clock follows it."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from registry.actions.refresh_callback import refresh_callbacks_of
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import AgreedDate, Organisation, Person


class CannotBeConfirmed(DomainError):
    """A date is void, confirmed already, changed meanwhile, or confirmed by who said it."""


@transaction.atomic
def confirm_agreed_date(
    row: AgreedDate,
    *,
    due_on: date,
    signed_by: str,
    by: Person | None,
    organisation: Organisation | None,
) -> AgreedDate:
    """Store the signature of the other side under a date.

    due_on  the date that whoever confirms has read: another one is not confirmed by it
    Raises CannotBeConfirmed.
    """
    # Never a nullable FK beside the row that is locked: only the row itself is.
    locked = AgreedDate.objects.select_for_update().get(pk=row.pk)
    if locked.is_void or locked.double_of_id is not None:
        raise CannotBeConfirmed("This date is void, or a double; nothing is left to confirm.")
    if locked.confirmed_at is not None:
        raise CannotBeConfirmed("Both sides signed this date already.")
    if not locked.callback.is_other_side(locked.entered_for_id, organisation):
        raise CannotBeConfirmed(
            f"{locked.entered_for or 'Nobody named'} said that this date was agreed. The other "
            "side confirms it."
        )
    if locked.due_on != due_on:
        raise CannotBeConfirmed(
            f"The date was corrected meanwhile: it is {locked.due_on} now. Look at it again."
        )
    if not signed_by.strip():
        raise CannotBeConfirmed("Write the name of who confirms it.")
    locked.confirmed_at = timezone.now()
    locked.confirmed_by, locked.confirmed_for = by, organisation
    locked.confirmed_as = signed_by.strip()
    locked.save()
    write_line(locked, "confirmed", by=by, organisation=organisation)
    refresh_callbacks_of(locked)
    return locked
