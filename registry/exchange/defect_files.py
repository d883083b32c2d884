"""The list of defects as files: CSV, a workbook, GeoJSON. Texts never become formulas."""

import csv
import json
from collections.abc import Iterable, Iterator
from io import StringIO
from typing import BinaryIO

import xlsxwriter

from registry.exchange.guarded_text import guard
from registry.gathering.defect_list import DefectLine
from registry.gathering.defects import position_of

COLUMNS = (
    "pavement", "site", "number", "kind", "state", "place", "first_seen_on", "last_seen_on",
    "found", "extent", "severity", "severity_by_eye", "growth", "look_overdue", "urgent",
    "extent_number", "extent_unit", "growth_number_a_year", "came_back", "measured_on", "graded_on",
)  # fmt: skip
Cell = str | float | None
"""A text, a number to reckon with, or None where nothing was measured."""

Pieces = Iterable[list[DefectLine]]


def cells_of(line: DefectLine) -> tuple[Cell, ...]:
    """Return the cells of one line, in the order of COLUMNS."""
    row, seen, graded = line.defect, line.seen, line.graded
    return (
        row.pavement.name,
        row.pavement.site.name,
        row.number,
        row.get_kind_display(),
        row.get_state_display(),
        row.place or row.panels_text,
        row.first_seen_on.isoformat(),
        seen.seen_on.isoformat() if seen else "",
        seen.get_found_display() if seen else "",
        line.extent,
        graded.severity if graded else "",
        _yes(bool(graded and graded.severity_by_eye)),
        line.growth,
        _yes(line.is_overdue),
        _yes(line.is_urgent),
        line.size,
        line.unit if line.size is not None else "",
        line.size_a_year,
        "; ".join(came.words for came in line.came_back),
        line.sized.seen_on.isoformat() if line.sized else "",
        graded.seen_on.isoformat() if graded else "",
    )


def csv_of(pieces: Pieces) -> Iterator[str]:
    """Yield the lines of a CSV file, header first."""
    yield ",".join(COLUMNS) + "\r\n"
    for piece in pieces:
        target = StringIO()
        writer = csv.writer(target)
        writer.writerows([_told(cell) for cell in cells_of(line)] for line in piece)
        yield target.getvalue()


def workbook_of(target: BinaryIO, pieces: Pieces) -> None:
    """Write one workbook with one sheet; numbers are numbers, and no text is a formula."""
    options = {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(target, options) as book:
        sheet = book.add_worksheet("defects")
        sheet.write_row(0, 0, COLUMNS)
        sheet.freeze_panes(1, 0)
        place = 0
        for piece in pieces:
            for line in piece:
                place += 1
                for column, cell in enumerate(cells_of(line)):
                    if isinstance(cell, str):
                        sheet.write_string(place, column, guard(cell))
                    elif cell is not None:
                        sheet.write_number(place, column, cell)


def geojson_of(pieces: Pieces) -> Iterator[str]:
    """Yield a FeatureCollection (RFC 7946); a defect without a true position has no geometry."""
    yield '{"type": "FeatureCollection", "features": ['
    between = ""
    for piece in pieces:
        for line in piece:
            properties = dict(zip(COLUMNS, cells_of(line), strict=True))
            feature = {
                "type": "Feature",
                "geometry": position_of(line.defect),
                "properties": properties,
            }
            yield between + json.dumps(feature)
            between = ",\n"
    yield "]}"


def _told(cell: Cell) -> Cell:
    return guard(cell) if isinstance(cell, str) else cell


def _yes(claim: bool) -> str:
    return "yes" if claim else "no"
