"""End a seat at a pavement. Its holder keeps what it wrote."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from registry.actions.follow_pool import follow_pool
from registry.actions.refresh_dues import refresh_dues
from registry.actions.refresh_standing import refresh_standings
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.pools import HOLDERS
from registry.models import Cleaning, InfiltrationTest, Organisation, Person, Seat
from registry.models.choices import Role
from registry.models.rights import KEEPERS


class CannotEndSeat(DomainError):
    """The seat has an end already, or may not be ended now."""


@transaction.atomic
def end_seat(*, seat: Seat, why: str, by: Person | None, organisation: Organisation | None) -> Seat:
    """End a seat now; one that has not begun yet never will.

    An owner's seat ends by a sale. A contractor who has written something here keeps its seat
    while its warranty runs, unless it gives it up itself: nobody takes away the other side's sight.
    """
    if not why.strip():
        raise CannotEndSeat("Say why the seat ends.")
    if seat.role == Role.OWNER:
        raise CannotEndSeat("An owner's seat ends by a sale, with its deed.")
    if seat.role == Role.CONTRACTOR and organisation != seat.organisation:
        _refuse_in_warranty(seat)
    at = max(timezone.now(), seat.from_at)
    if not Seat.objects.filter(pk=seat.pk, to_at__isnull=True).update(to_at=at):
        raise CannotEndSeat("This seat has an end already.")
    seat.refresh_from_db()
    write_line(seat, "seat ended", by=by, organisation=organisation, why=why)
    if seat.role in KEEPERS | {Role.MUNICIPALITY}:
        refresh_standings([seat.pavement_id])  # whose thresholds count, and what a town judges by
    if seat.role in HOLDERS:
        follow_pool(seat.pavement)  # who holds it decides with which others it is fitted
    if seat.role in KEEPERS | {Role.SWEEPER}:
        refresh_dues([seat.pavement_id])  # whose calendar, prices and machines count
    return seat


def _refuse_in_warranty(seat: Seat) -> None:
    today = _local(timezone.now(), seat).date()
    last = seat.warranty_last_on
    if last is None or last < today:
        return
    wrote = (
        model.objects.filter(pavement=seat.pavement, entered_for=seat.organisation).exists()
        for model in (InfiltrationTest, Cleaning)
    )
    if any(wrote):
        raise CannotEndSeat(
            f"{seat.organisation} has written here and its warranty runs until {last}: "
            "its seat stays as long."
        )


def _local(at: datetime, seat: Seat) -> datetime:
    return at.astimezone(ZoneInfo(seat.pavement.site.time_zone))
