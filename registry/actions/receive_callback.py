"""Take in a callback: the message as it came, its clock, and the day it counts from."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.refresh_callback import refresh_callback
from registry.faults import DomainError
from registry.gathering.recount import count_notice
from registry.models import Callback, CallbackMove, Organisation, Person
from registry.placing.working_days import Counted


class CannotReceive(DomainError):
    """The notice cannot be counted as it stands."""


@transaction.atomic
def receive_callback(
    row: Callback, *, by: Person | None, organisation: Organisation | None
) -> Callback:
    """Store a callback that came in, with the day from which it counts and the rule behind it.

    The day is worked out from the terms of its warranty. Without a clock, or where the terms ask
    for a holiday list that is not entered, no day is given and the row says why.
    """
    counted = count_notice(row)
    if isinstance(counted, Counted):
        row.counted_on, row.counted_why = counted.on, counted.why
    else:
        row.counted_on, row.counted_why = None, counted.reason[:300]
    row.state = "received"
    add_entry(row, by=by, organisation=organisation)
    on = row.counted_on or _day_here(row)
    CallbackMove.objects.create(
        callback=row, to_state="received", on=on, by=by, by_organisation=organisation
    )
    refresh_callback(row)
    row.refresh_from_db()
    return row


def _day_here(row: Callback) -> date:
    at: datetime = row.received_at or row.entered_at
    return at.astimezone(ZoneInfo(row.pavement.site.time_zone)).date()
