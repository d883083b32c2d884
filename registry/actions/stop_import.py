"""Stop work on a spreadsheet before anything of it is stored."""

from django.db import transaction
from django.db.models import Q

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import BatchState, ImportBatch, Person


class CannotBeStopped(DomainError):
    """It is stored, or put aside, already."""


@transaction.atomic
def stop_import(batch: ImportBatch, *, by: Person | None) -> ImportBatch:
    """Put a spreadsheet aside. One that is being read stops at its next thousand rows.

    Storing itself is one short transaction: whoever comes too late is told to take it back.
    """
    rows = ImportBatch.objects.filter(pk=batch.pk)
    idle = Q(state__in=(BatchState.WAITING, BatchState.REFUSED)) | Q(
        state=BatchState.CHECKED, store_asked=False
    )
    stopped = rows.filter(idle).update(state=BatchState.STOPPED, stop_asked=True)
    busy = Q(state=BatchState.READING) | Q(state=BatchState.CHECKED, store_asked=True)
    if not stopped and not rows.filter(busy).update(stop_asked=True):
        raise CannotBeStopped(
            "This spreadsheet is no longer being worked on. What is stored can be taken back."
        )
    batch.refresh_from_db()
    write_line(batch, "stopped", by=by, organisation=batch.organisation)
    return batch
