"""Stop work on a round: the best plan found so far is kept."""

from django.db import transaction

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Person, Round, RoundState


class CannotStopRound(DomainError):
    """It is worked out, or was stopped, already."""


@transaction.atomic
def stop_round(row: Round, *, by: Person | None) -> Round:
    """Ask the search to stop at its next second; one that waits is not begun any more."""
    rows = Round.objects.filter(pk=row.pk)
    waiting = rows.filter(state=RoundState.WAITING).update(
        state=RoundState.FAILED, stop_asked=True, message="Stopped before the work on it began."
    )
    if not waiting and not rows.filter(state=RoundState.WORKING).update(stop_asked=True):
        raise CannotStopRound("This round is no longer being worked out.")
    row.refresh_from_db()
    write_line(row, "stopped", by=by, organisation=row.organisation)
    return row
