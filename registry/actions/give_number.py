"""Give a pavement the number by which an organisation knows it."""

from datetime import date

from django.db import transaction

from registry.actions.write_journal import write_line
from registry.models import Organisation, Pavement, PavementNumber, Person


@transaction.atomic
def give_number(
    *,
    pavement: Pavement,
    organisation: Organisation,
    number: str,
    from_on: date | None = None,
    by: Person | None,
) -> PavementNumber:
    """Store a number beside those of others; none is ever merged with another.

    Raises ValidationError where the organisation gave the same number to another pavement.
    """
    row = PavementNumber(
        pavement=pavement, organisation=organisation, number=number, from_on=from_on
    )
    row.full_clean()
    row.save(force_insert=True)
    write_line(row, "numbered", by=by, organisation=organisation)
    return row
