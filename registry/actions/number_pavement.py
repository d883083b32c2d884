"""Give a pavement an organisation's own number, beside the numbers of others."""

from datetime import date

from django.db import transaction

from registry.actions.give_number import give_number
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Pavement, PavementNumber, Person


class NumberTaken(DomainError):
    """The organisation uses the number already, here or for another pavement."""


class CannotTakeBack(DomainError):
    """The number is another organisation's, was taken back already, or no reason was given."""


@transaction.atomic
def number_pavement(
    pavement: Pavement,
    *,
    number: str,
    from_on: date | None = None,
    by: Person | None,
    organisation: Organisation,
) -> PavementNumber:
    """Store the number; a number the organisation used here before ends, and stays readable.

    Numbers of different organisations stand side by side and are never merged. Raises NumberTaken.
    """
    Organisation.objects.select_for_update().get(pk=organisation.pk)
    own = PavementNumber.objects.filter(organisation=organisation, is_taken_back=False)
    in_use = own.filter(number=number, to_on__isnull=True).select_related("pavement").first()
    if in_use is not None:
        raise NumberTaken(f"{organisation} uses {number} already, for {in_use.pavement}.")
    before = own.filter(pavement=pavement, to_on__isnull=True).first()
    if before is not None:
        if from_on is None:
            raise NumberTaken(
                f"{organisation} calls this pavement {before}. Say from which day it is {number}, "
                "so that the old number can end then."
            )
        before.to_on = from_on
        before.save(update_fields=["to_on"])
        ended = {"to_on": ["", from_on.isoformat()]}
        write_line(before, "ended", by=by, organisation=organisation, changes=ended)
    return give_number(
        pavement=pavement, organisation=organisation, number=number, from_on=from_on, by=by
    )


@transaction.atomic
def take_back_number(
    row: PavementNumber, *, why: str, by: Person, organisation: Organisation
) -> PavementNumber:
    """Take back a number written by mistake; the journal keeps it. Raises CannotTakeBack."""
    if row.organisation_id != organisation.pk:
        raise CannotTakeBack("Only the organisation whose number it is takes it back.")
    if not why.strip():
        raise CannotTakeBack("Say why the number is taken back.")
    if not PavementNumber.objects.filter(pk=row.pk, is_taken_back=False).update(is_taken_back=True):
        raise CannotTakeBack("This number was taken back already.")
    row.refresh_from_db()
    write_line(row, "taken back", by=by, organisation=organisation, why=why)
    return row
