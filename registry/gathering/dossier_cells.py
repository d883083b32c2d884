"""Fields of entries as cells of a dossier: as read, as written, and which kind of empty."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from registry.dossier import Cell, blank, words
from registry.models.entry import Entry


def cell(row: Entry, field: str, unit: str = "") -> Cell:
    """Return a number or words of an entry with the text as written."""
    value = getattr(row, field)
    if isinstance(value, date) and not isinstance(value, datetime):
        value = value.isoformat()
    if value in (None, ""):
        return Cell(None, row.written(field), unit, row.kind_of_empty(field))
    return Cell(value, row.written(field), unit)


def instant(row: Entry, field: str, zone: ZoneInfo) -> Cell:
    """Return an instant at the site's clock with its offset from UTC, and the text as written."""
    at = getattr(row, field)
    if at is None:
        return Cell(None, row.written(field), "", row.kind_of_empty(field))
    local = at.astimezone(zone)
    return words(local.isoformat(), row.written(field) or f"{local:%Y-%m-%d %H:%M}")


def label(row: Entry, field: str) -> Cell:
    """Return the words of a choice."""
    told = str(getattr(row, f"get_{field}_display")())
    return words(told) if told else blank(row.kind_of_empty(field))


def day(value: date | None) -> Cell:
    """Return a day, or nothing."""
    return words(value.isoformat()) if value else blank()


def panels(row: Entry, field: str = "panels") -> Cell:
    """Return panels by name, with the text as written."""
    return words(list(getattr(row, field)), getattr(row, f"{field}_text", ""))
