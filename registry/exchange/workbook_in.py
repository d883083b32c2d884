"""The sheets of one .xlsx workbook as rows of text."""

import re
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from xml.etree import ElementTree
from zipfile import BadZipFile, ZipFile

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook

from registry.exchange.csv_in import Row
from registry.exchange.problems import Problem, refuse
from registry.exchange.workbook_cells import SheetLook, doubts_of, unread_cells
from registry.exchange.workbook_guard import check_workbook

_REFERENCES = re.compile(r"\{.*\}")
_REMARKS = re.compile(r"xl/(?:.*/)?(?:threaded)?comments?\d*\.xml", re.IGNORECASE)
LARGEST_LIST_BYTES = 4 * 2**20
"""Of the parts that list the sheets: parsed as a tree, which takes fifty times their size."""

FIRST_SURE_DAY = date(1900, 3, 1)
"""Number 61. Programs do not agree on those below: some count a 29 February 1900."""


def read_workbook(
    path: Path, file: str, problems: list[Problem]
) -> Iterator[tuple[str, Iterator[Row], list[Problem]]]:
    """Yield (name, rows, doubts) of each sheet that holds anything; empty ones are left out.

    A sheet with cells that hold a formula, an error or a percentage is left out too, and each such
    cell added to `problems`. Raises SpreadsheetRefused for a workbook that may not be opened.
    """
    looks = check_workbook(path, file)
    parts = _parts_of_sheets(path, file)
    remarks = _ask_about_remarks(path, file)
    try:
        with CalamineWorkbook.from_path(str(path)) as book:
            for name in book.sheet_names:
                sheet = book.get_sheet_by_name(name)
                if sheet.start is None:
                    continue
                place, header = f"{file}, sheet {name}", _header(sheet)
                part, is_hidden = parts.get(name, ("", False))
                look = looks.get(part, SheetLook())
                if unread := unread_cells(place, look, header):
                    problems += unread
                    continue
                doubts = doubts_of(place, look, header, is_hidden=is_hidden)
                yield name, _rows(sheet), [*doubts, *remarks]
                remarks = []
    except CalamineError as fault:
        refuse(file, f"The workbook cannot be read ({fault}).", "Save it once more as .xlsx.")


def _ask_about_remarks(path: Path, file: str) -> list[Problem]:
    """Ask once about remarks pinned to cells: they are no cells, and nothing reads them."""
    with ZipFile(path) as archive:
        if not any(_REMARKS.fullmatch(name) for name in archive.namelist()):
            return []
    message = "The workbook holds remarks pinned to cells. They were not read."
    mend = "Write what belongs to the record into the column note."
    return [Problem(file, None, "", message, mend)]


def _parts_of_sheets(path: Path, file: str) -> dict[str, tuple[str, bool]]:
    """Return which part of the archive holds each sheet and whether it is hidden, by its name."""
    with ZipFile(path) as archive:
        book = _read_list(archive, "xl/workbook.xml", file)
        links = _read_list(archive, "xl/_rels/workbook.xml.rels", file)
    if b"<!DOCTYPE" in book or b"<!DOCTYPE" in links:
        refuse(file, "The workbook is built in an unusual way.", "Save it once more as .xlsx.")
    try:
        targets = {e.get("Id"): e.get("Target", "") for e in ElementTree.fromstring(links)}
        sheets = [e for e in ElementTree.fromstring(book).iter() if _tag(e) == "sheet"]
    except ElementTree.ParseError as fault:
        refuse(file, f"The workbook is damaged ({fault}).", "Save it once more as .xlsx.")
    return {
        sheet.get("name", ""): (
            _part(targets.get(value, "")),
            sheet.get("state", "visible") != "visible",
        )
        for sheet in sheets
        for key, value in sheet.attrib.items()
        if _REFERENCES.sub("", key) == "id"
    }


def _read_list(archive: ZipFile, part: str, file: str) -> bytes:
    try:
        if archive.getinfo(part).file_size > LARGEST_LIST_BYTES:
            refuse(file, "The workbook lists too many sheets.", "Save it once more as .xlsx.")
        return archive.read(part)
    except (KeyError, BadZipFile, zlib.error) as fault:
        refuse(file, f"The workbook is damaged ({fault}).", "Save it once more as .xlsx.")


def _tag(element: ElementTree.Element) -> str:
    return _REFERENCES.sub("", element.tag)


def _part(target: str) -> str:
    return target.removeprefix("/") if target.startswith("/") else f"xl/{target}"


def _header(sheet: CalamineSheet) -> list[str]:
    left = sheet.start[1] if sheet.start else 0
    first: list[str] = next((cells for _, cells in _rows(sheet)), [])
    return [""] * left + first


def _rows(sheet: CalamineSheet) -> Iterator[Row]:
    for number, cells in enumerate(sheet.iter_rows(), start=1):
        texts = [cell_text(cell) for cell in cells]
        if any(map(str.strip, texts)):
            yield number, texts


def cell_text(value: object) -> str:
    """Return the text of a cell: what it shows, dates and instants in ISO form.

    A time of day stays one ("03:42:00"), since nobody can tell minutes from hours in it; a span
    of time is seconds.
    """
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return plain_number(value)
    if isinstance(value, date) and date(*value.timetuple()[:3]) < FIRST_SURE_DAY:
        return "a number below 61 shown as a day"
    if isinstance(value, datetime):
        shown = (value + timedelta(milliseconds=500)).replace(microsecond=0)
        return shown.isoformat(timespec="seconds" if shown.second else "minutes")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, timedelta):
        return plain_number(value.total_seconds())
    raise TypeError(f"A cell of a kind that no workbook has: {value!r}")


def plain_number(value: float) -> str:
    """Return a number in its shortest decimal form, never with an exponent: 12, 0.0000001."""
    if isinstance(value, int) or value.is_integer():
        return str(int(value))
    return format(Decimal(repr(value)), "f")
