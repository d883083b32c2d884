"""Put right what an organisation says of itself."""

from collections.abc import Mapping

from django.db import transaction

from registry.actions.write_journal import write_line
from registry.models import Organisation, Person


@transaction.atomic
def correct_organisation(
    row: Organisation, *, values: Mapping[str, str], by: Person
) -> Organisation:
    """Store the values that differ and return the row as stored; the journal keeps the old ones.

    Local time and units rule what is read and printed from now on; nothing stored is changed.
    """
    held = Organisation.objects.select_for_update().get(pk=row.pk)
    changes = {
        name: [str(getattr(held, name)), value]
        for name, value in values.items()
        if getattr(held, name) != value
    }
    for name, (_, new) in changes.items():
        setattr(held, name, new)
    if changes:
        held.full_clean()
        held.save(update_fields=list(changes))
        write_line(held, "changed", by=by, organisation=held, changes=changes)
    return held
