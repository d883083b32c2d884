"""Take in a callback: the message as it came, its clock, and the day it counts from."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.refresh_callback import refresh_callback
from registry.faults import DomainError
from registry.gathering.warranty_terms import calendar_of, notice_rule
from registry.models import Callback, CallbackMove, Organisation, Person
from registry.placing.faults import NotGiven
from registry.placing.working_days import Counted, counted_received, holiday_list


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


def count_notice(row: Callback) -> Counted | NotGiven:
    """Return the day from which a notice counts, or why none can be given.

    Raises ClaimError for a time zone that is none.
    """
    if row.received_at is None:
        return NotGiven("The clock at which the notice came in is not written down.")
    if row.warranty is None:
        return NotGiven("No warranty is named: its notice rule is not known.")
    rule = notice_rule(row.warranty, zone=row.pavement.site.time_zone)
    calendar = calendar_of(row.warranty.holiday_list)
    if isinstance(calendar, NotGiven):
        if rule.closes is not None or rule.working_days_only:
            return calendar
        calendar = holiday_list((), ())
    return counted_received(row.received_at, rule, calendar)


def _day_here(row: Callback) -> date:
    at: datetime = row.received_at or row.entered_at
    return at.astimezone(ZoneInfo(row.pavement.site.time_zone)).date()
