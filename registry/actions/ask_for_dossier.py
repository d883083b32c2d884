"""Ask for the dossier of a callback: write down for whom, and queue the work."""

from django.db import transaction

from registry.actions.queue_work import queue_dossier
from registry.actions.write_journal import write_line
from registry.models import Callback, Dossier, Organisation, Person


@transaction.atomic
def ask_for_dossier(
    *,
    callback: Callback,
    organisation: Organisation | None,
    system: str,
    paper: str,
    prepared_by: str,
    by: Person | None,
) -> Dossier:
    """Store what is asked and queue it. What goes in is decided when it is put together."""
    row = Dossier.objects.create(
        callback=callback,
        for_organisation=organisation,
        system=system,
        paper=paper,
        prepared_by=prepared_by,
        asked_by=by,
    )
    line = {"by": by, "organisation": organisation, "pavement": callback.pavement}
    write_line(row, "asked for", **line)  # type: ignore[arg-type]
    queue_dossier(row.pk)
    return row
