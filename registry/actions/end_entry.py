"""Say on which day something came to its end: a section, a run-on area, a source of dirt."""

from datetime import date

from django.db import transaction

from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Person
from registry.models.entry import Entry


class CannotEnd(DomainError):
    """It has ended already, is void, or would end before it began."""


@transaction.atomic
def end_entry(
    row: Entry, *, on: date, why: str, by: Person | None, organisation: Organisation | None
) -> Entry:
    """Store the first day without it, with the reason; it stays readable.

    A dated entry ends by `to_on`, a source of dirt by `stopped_on`. Of two people ending it at
    once the second is told. Raises CannotEnd.
    """
    field, begin = _days_of(row)
    if not why.strip():
        raise CannotEnd("Say why it ended.")
    began = getattr(row, begin)
    if began is not None and on < began:
        raise CannotEnd(f"It cannot end before {began.isoformat()}, when it began or was seen.")
    if field == "to_on" and on == began:
        raise CannotEnd("It would end on the day it began: then it never held. Void it instead.")
    there = type(row).objects.filter(pk=row.pk, void_at__isnull=True, **{f"{field}__isnull": True})
    if not there.update(**{field: on}):
        raise CannotEnd("It has ended already, or is void.")
    row.refresh_from_db()
    changes = {field: ["", on.isoformat()]}
    verb = "stopped" if field == "stopped_on" else "ended"
    write_line(row, verb, by=by, organisation=organisation, why=why, changes=changes)
    refresh_after(row)
    return row


def _days_of(row: Entry) -> tuple[str, str]:
    if hasattr(row, "stopped_on"):
        return "stopped_on", "seen_on"
    if hasattr(row, "to_on"):
        return "to_on", "from_on"
    raise TypeError(f"{type(row).__name__} has no end")
