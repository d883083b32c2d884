"""Lines -> files: CSV, one .xlsx workbook, GeoJSON. The same lines give the same bytes."""

import csv
import io
import json
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from datetime import date, datetime
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO, BinaryIO
from zoneinfo import ZoneInfo

import xlsxwriter

from registry.exchange.columns import DEFECTS, IN_ORDER, PAVEMENTS, TABLES, TESTS
from registry.exchange.defect_lines import defect_lines
from registry.exchange.guarded_text import guard
from registry.exchange.lines_out import (
    Line,
    Number,
    pavement_line,
    run_lines,
    sweep_lines,
)
from registry.exchange.shown import ShownPavement
from registry.faults import DomainError
from registry.models import Pavement

WRITTEN = IN_ORDER
LONGEST_SHEET = 1_048_576
A_PIECE = 1 << 16
MADE_AT = datetime(2000, 1, 1)  # a fixed one: the same record gives the same bytes
FIXED_TIME = (2000, 1, 1, 0, 0, 0)


class TooManyRows(DomainError):
    """More than a sheet of a workbook holds."""


def today_at(shown: ShownPavement, at: datetime) -> date:
    """Return the day at the site."""
    return at.astimezone(ZoneInfo(shown.pavement.site.time_zone)).date()


def lines_of(table: str, shown: ShownPavement, at: datetime) -> Iterator[Line]:
    """Yield the lines of one pavement for one of the files."""
    if table == PAVEMENTS:
        yield pavement_line(shown, today_at(shown, at))
    elif table == TESTS:
        yield from run_lines(shown)
    elif table == DEFECTS:
        yield from defect_lines(shown.ref, shown.defects)
    else:
        yield from sweep_lines(shown)


def csv_text(table: str, lines: Iterable[Line], *, header: bool = False) -> str:
    """Return lines as CSV text: UTF-8 once encoded, commas, line feeds, texts guarded."""
    columns = TABLES[table].columns
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    if header:
        writer.writerow(columns)
    for line in lines:
        cells = (line.get(column, "") for column in columns)
        writer.writerow([str(c) if isinstance(c, Number) else guard(c) for c in cells])
    return text.getvalue()


def write_csv_folder(folder: Path, shown: Iterable[ShownPavement], at: datetime) -> int:
    """Write one CSV file for each table; return the number of rows. Nothing is overwritten."""
    folder.mkdir(parents=True, exist_ok=True)
    taken = [name for name in WRITTEN if (folder / f"{name}.csv").exists()]
    if taken:
        raise FileIsThere(f"{folder / taken[0]}.csv is there already. Name a new folder.")
    streams = {
        name: (folder / f"{name}.csv").open("x", encoding="utf-8", newline="") for name in WRITTEN
    }
    rows = 0
    try:
        for name, stream in streams.items():
            stream.write(csv_text(name, (), header=True))
        for pavement in shown:
            for name, stream in streams.items():
                lines = list(lines_of(name, pavement, at))
                rows += len(lines)
                stream.write(csv_text(name, lines))
    finally:
        for stream in streams.values():
            stream.close()
    return rows


class FileIsThere(DomainError):
    """Nothing is overwritten."""


def csv_archive(shown: Iterable[ShownPavement], at: datetime) -> Iterator[bytes]:
    """Yield a .zip with one CSV file for each table, a piece at a time.

    The record is read once: the first table goes out while the others are set down beside it.
    """
    sink, first = _Sink(), WRITTEN[0]
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_DEFLATED) as archive, ExitStack() as open_files:
        later = {name: open_files.enter_context(TemporaryFile()) for name in WRITTEN[1:]}
        with _member(archive, first) as part:
            part.write(csv_text(first, (), header=True).encode())
            for pavement in shown:
                part.write(csv_text(first, lines_of(first, pavement, at)).encode())
                for name, file in later.items():
                    file.write(csv_text(name, lines_of(name, pavement, at)).encode())
                yield sink.take()
        for name, file in later.items():
            file.seek(0)
            with _member(archive, name) as part:
                part.write(csv_text(name, (), header=True).encode())
                while piece := file.read(A_PIECE):
                    part.write(piece)
                    yield sink.take()
    yield sink.take()


def _member(archive: zipfile.ZipFile, name: str) -> IO[bytes]:
    info = zipfile.ZipInfo(f"{name}.csv", FIXED_TIME)
    info.compress_type = zipfile.ZIP_DEFLATED
    return archive.open(info, "w", force_zip64=True)


class _Sink(io.RawIOBase):
    """A stream that is written to in front and emptied behind."""

    def __init__(self) -> None:
        self._held: list[bytes] = []

    def writable(self) -> bool:
        return True

    def write(self, data: bytes) -> int:  # type: ignore[override]
        self._held.append(bytes(data))
        return len(data)

    def take(self) -> bytes:
        held, self._held = b"".join(self._held), []
        return held


def write_workbook(target: BinaryIO, shown: Iterable[ShownPavement], at: datetime) -> int:
    """Write one workbook with a sheet for each table; return the number of rows.

    Numbers are number cells where a spreadsheet keeps all their digits, texts are texts and never
    formulas or links; days and times are texts in ISO form, which no program turns round.
    """
    options = {
        "constant_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    rows = dict.fromkeys(WRITTEN, 0)
    with xlsxwriter.Workbook(target, options) as book:
        book.set_properties({"created": MADE_AT})
        sheets = {name: book.add_worksheet(name) for name in WRITTEN}
        for name, sheet in sheets.items():
            sheet.write_row(0, 0, TABLES[name].columns)
            sheet.freeze_panes(1, 0)
        for pavement in shown:
            for name, sheet in sheets.items():
                for line in lines_of(name, pavement, at):
                    rows[name] += 1
                    _write_line(sheet, rows[name], TABLES[name].columns, line)
    return sum(rows.values())


def _write_line(
    sheet: xlsxwriter.worksheet.Worksheet, row: int, columns: tuple[str, ...], line: Line
) -> None:
    if row >= LONGEST_SHEET:
        raise TooManyRows(
            f"A sheet of a workbook holds {LONGEST_SHEET - 1} rows; write CSV files instead."
        )
    for place, column in enumerate(columns):
        cell = line.get(column, "")
        if isinstance(cell, Number) and _is_kept(cell):
            sheet.write_number(row, place, float(cell.text))
        elif cell != "":
            text = cell.text if isinstance(cell, Number) else guard(cell)
            sheet.write_string(row, place, text)


def _is_kept(number: Number) -> bool:
    """Say whether a workbook, which keeps 16 digits, gives the same number back."""
    return float(f"{float(number.text):.16G}") == float(number.text)


def geojson(shown: Iterable[ShownPavement], at: datetime) -> Iterator[str]:
    """Yield a FeatureCollection (RFC 7946) of the pavements, a piece at a time.

    The position is the one that the map shows: that of the datum, else of the pavement, else of
    its site, and `position_of` says which. Where none is known the geometry is null. The other
    properties are the columns.
    """
    yield '{"type": "FeatureCollection", "features": ['
    for place, pavement in enumerate(shown):
        line = pavement_line(pavement, today_at(pavement, at))
        columns = {name: _json_value(line.get(name, "")) for name in TABLES[PAVEMENTS].columns}
        position_of, geometry = _point(pavement.pavement)
        feature = {
            "type": "Feature",
            "geometry": geometry,
            "properties": {**columns, "position_of": position_of},
        }
        yield (",\n" if place else "\n") + json.dumps(feature, ensure_ascii=False)
    yield "\n]}\n"


def _point(row: Pavement) -> tuple[str | None, dict[str, object] | None]:
    for whose, lon, lat in (
        ("datum", row.datum_lon, row.datum_lat),
        ("pavement", row.lon, row.lat),
        ("site", row.site.lon, row.site.lat),
    ):
        if lon is not None and lat is not None:
            return whose, {"type": "Point", "coordinates": [lon, lat]}
    return None, None


def _json_value(cell: str | Number) -> str | float | None:
    if isinstance(cell, Number):
        return float(cell.text)
    return cell or None
