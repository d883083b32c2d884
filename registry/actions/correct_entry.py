"""Put an entry right by a correction line: who, when, why, old, new. The old stays readable."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.refresh_standing import refresh_after
from registry.actions.refuse_days_ahead import refuse_days_ahead
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.frozen import frozen_under, why_frozen, why_signed
from registry.models import JournalLine, Organisation, Person
from registry.models.choices import Empty
from registry.models.entry import Change, Entry
from registry.models.seen import plain_value


class CannotBeCorrected(DomainError):
    """No reason, nothing changed, or somebody else changed the entry meanwhile."""


class CorrectionsDiffer(CannotBeCorrected):
    """Somebody else corrected the entry after this writer opened it; nothing was applied.

    It carries all that `keep_correction` needs to keep this correction beside the first.
    """

    def __init__(
        self,
        row: Entry,
        names: Iterable[str],
        *,
        changes: Mapping[str, Change],
        why: str,
        by: Person | None,
        organisation: Organisation | None,
    ) -> None:
        told = _told(row)
        now = ", ".join(
            f"“{_label(row, n)}” is now {_text(row, n, getattr(row, n)) or 'empty'}" for n in names
        )
        super().__init__(f"Somebody else corrected this entry after you opened it: {now}.")
        self.row, self.changes, self.why = row, changes, why
        self.by, self.organisation = by, organisation
        self.seen: Mapping[str, Any] = getattr(changes, "seen", {})
        self.lines = {name: _line(row, name, change, told) for name, change in changes.items()}


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

    Where the entry holds something else by now than its writer saw, nothing is changed and
    CorrectionsDiffer tells what: two corrections of one sheet are never merged silently. `verb`
    is another where an entry is still being written, such as a visit under way.
    """
    if not why.strip():
        raise CannotBeCorrected("Say why the entry is corrected.")
    locked = type(row).objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotBeCorrected("This entry is void; a void entry is not corrected.")
    if signed := why_signed(locked):
        raise CannotBeCorrected(signed)
    if (dispute := frozen_under(locked)) is not None:
        raise CannotBeCorrected(why_frozen(dispute))
    overtaken = _overtaken(locked, changes)
    if overtaken:
        raise CorrectionsDiffer(
            locked, overtaken, changes=changes, why=why, by=by, organisation=organisation
        )
    lines = _apply(locked, changes)
    if not lines:
        raise CannotBeCorrected("Nothing was changed.")
    refuse_days_ahead(locked)
    locked.full_clean(exclude=SET_BY_ACTIONS)
    locked.save(update_fields=[*lines, "empties", "as_written"])
    write_line(locked, verb, by=by, organisation=organisation, why=why, changes=lines)
    refresh_after(locked)
    return locked


def _overtaken(row: Entry, changes: Mapping[str, Change]) -> list[str]:
    """Return the fields that hold something else than the writer of the changes saw."""
    seen: Mapping[str, Any] = getattr(changes, "seen", {})
    found = [name for name, kept in seen.items() if plain_value(row, name) != kept]
    for name, change in changes.items():
        if name not in seen and change.is_seen_known and getattr(row, name) != change.seen:
            found.append(name)
    return found


def _apply(row: Entry, changes: Mapping[str, Change]) -> dict[str, list[str]]:
    lines: dict[str, list[str]] = {}
    told = _told(row)
    for name, change in changes.items():
        old = getattr(row, name)
        before = "" if _is_filled(old) else row.empties.get(name, "")
        if old == change.value and before == change.empty:
            continue
        lines[name] = _line(row, name, change, told)
        setattr(row, name, change.value)
        row.empties.pop(name, None)
        if change.empty:
            row.empties[name] = change.empty
        if change.text:
            # What was written first stays; later texts are in the lines.
            row.as_written.setdefault(name, change.text)
    return lines


def _line(row: Entry, name: str, change: Change, told: Mapping[str, str]) -> list[str]:
    """Return old and new of one field in words."""
    old = getattr(row, name)
    before = "" if _is_filled(old) else row.empties.get(name, "")
    return [
        told.get(name) or change.line[0] or row.written(name) or _text(row, name, old, before),
        change.line[1] or change.text or _text(row, name, change.value, change.empty),
    ]


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
