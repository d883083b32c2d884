"""Stop work on a dossier: nothing of it is kept."""

from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Dossier, DossierState, Person


class CannotStopDossier(DomainError):
    """It is made, or was stopped, already."""


@transaction.atomic
def stop_dossier(row: Dossier, *, by: Person | None) -> Dossier:
    """Ask the work to stop at its next step; one that waits is not begun any more."""
    rows = Dossier.objects.filter(pk=row.pk)
    waiting = rows.filter(state=DossierState.WAITING).update(
        state=DossierState.STOPPED,
        stop_asked=True,
        worked_at=timezone.now(),
        why="Stopped before the work on it began.",
    )
    if not waiting and not rows.filter(state=DossierState.WORKING).update(stop_asked=True):
        raise CannotStopDossier("This dossier is no longer being put together.")
    row.refresh_from_db()
    write_line(
        row,
        "stopped",
        by=by,
        organisation=row.for_organisation,
        pavement=row.callback.pavement,
    )
    return row
