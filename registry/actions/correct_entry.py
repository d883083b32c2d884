"""Put an entry right by a correction line: who, when, why, old, new. The old stays readable."""

from collections.abc import Mapping
from datetime import date, datetime

from django.db import transaction

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import JournalLine, Organisation, Person
from registry.models.choices import Empty
from registry.models.entry import Change, Entry


class CannotBeCorrected(DomainError):
    """No reason, nothing changed, or somebody else changed the entry meanwhile."""


@transaction.atomic
def correct_entry(
    row: Entry,
    *,
    changes: Mapping[str, Change],
    why: str,
    by: Person | None,
    organisation: Organisation | None,
    verb: str = "corrected",
) -> Entry:
    """Apply corrections to the row under a lock and write one line with every old and new value.

    Where a `Change` says what its writer saw and the field holds something else by now, nothing
    is changed: two corrections of one sheet are never merged silently. `verb` is another where an
    entry is still being written, such as a visit under way.
    """
    if not why.strip():
        raise CannotBeCorrected("Say why the entry is corrected.")
    locked = type(row).objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotBeCorrected("This entry is void; a void entry is not corrected.")
    lines = _apply(locked, changes)
    if not lines:
        raise CannotBeCorrected("Nothing was changed.")
    locked.full_clean(exclude=SET_BY_ACTIONS)
    locked.save(update_fields=[*lines, "empties", "as_written"])
    write_line(locked, verb, by=by, organisation=organisation, why=why, changes=lines)
    refresh_after(locked)
    return locked


def _apply(row: Entry, changes: Mapping[str, Change]) -> dict[str, list[str]]:
    lines: dict[str, list[str]] = {}
    told = _told(row)
    for name, change in changes.items():
        old = getattr(row, name)
        if change.is_seen_known and old != change.seen:
            raise CannotBeCorrected(
                f"Somebody else changed “{_label(row, name)}” meanwhile: it is now "
                f"{_text(row, name, old) or 'empty'}. Look at it again before you correct it."
            )
        before = "" if _is_filled(old) else row.empties.get(name, "")
        if old == change.value and before == change.empty:
            continue
        lines[name] = [
            told.get(name) or change.line[0] or row.written(name) or _text(row, name, old, before),
            change.line[1] or change.text or _text(row, name, change.value, change.empty),
        ]
        setattr(row, name, change.value)
        row.empties.pop(name, None)
        if change.empty:
            row.empties[name] = change.empty
        if change.text:
            # What was written first stays; later texts are in the lines.
            row.as_written.setdefault(name, change.text)
    return lines


def _told(row: Entry) -> dict[str, str]:
    """Return what earlier corrections put into each field, as they wrote it."""
    told: dict[str, str] = {}
    for line in JournalLine.objects.about(row).corrections().order_by("at", "pk"):
        told |= {name: new for name, (_, new) in line.changes.items()}
    return told


def _is_filled(value: object) -> bool:
    return value not in (None, "", [])


def _label(row: Entry, name: str) -> str:
    return str(row._meta.get_field(name).verbose_name)  # type: ignore[union-attr]


def _text(row: Entry, name: str, value: object, empty: str = "") -> str:
    if not _is_filled(value):
        return Empty(empty).label if empty else ""
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | dict):  # lists of points or ties: no choices, and no keys of any
        return str(value)
    choices = dict(getattr(row._meta.get_field(name), "flatchoices", ()))
    return str(choices.get(value, value))
