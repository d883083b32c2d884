"""End a spot: nothing is measured there any more, its record stays."""

from datetime import date

from django.db import transaction

from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Person, Spot

LONGEST = Spot._meta.get_field("ended_why").max_length or 0


class SpotIsOver(DomainError):
    """The spot has ended already, or no reason was given."""


@transaction.atomic
def end_spot(
    spot: Spot, *, on: date, why: str, by: Person | None, organisation: Organisation | None
) -> Spot:
    """Store the last day of a spot and why it ended. Raises SpotIsOver."""
    if not why.strip():
        raise SpotIsOver("Say why the spot ends.")
    if len(why) > LONGEST:
        raise SpotIsOver(f"The reason is longer than {LONGEST} characters. Say it in fewer words.")
    latest = spot.infiltration_tests.filter(started_on__gt=on, void_at__isnull=True).first()
    if latest is not None:
        raise SpotIsOver(f"{latest} was run there on {latest.started_on.isoformat()}, after that.")
    living = Spot.objects.filter(pk=spot.pk, ended_on__isnull=True, void_at__isnull=True)
    if not living.update(ended_on=on, ended_why=why):
        raise SpotIsOver(f"{spot} has ended already.")
    spot.refresh_from_db()
    changes = {"ended_on": ["", on.isoformat()]}
    write_line(spot, "ended", by=by, organisation=organisation, why=why, changes=changes)
    refresh_after(spot)
    return spot
