"""Small workbooks, right and wrong, made for a test."""

import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import xlsxwriter

PAVEMENTS = [
    ["ref", "name", "site", "surface", "placed_on", "area_m2"],
    ["P1", "Lot", "Mill Lane", "pervious_concrete", "2019-05-04", 420],
]
TESTS = [
    ["pavement_ref", "point", "started_at", "method", "ring_mm", "water_kg", "seconds", "ended"],
    ["P1", "T1", "2023-05-01 10:00", "c1701", 300, 3.6, 120.5, "drained"],
]


def write(path: Path, sheets: Mapping[str, Sequence[Sequence[object]]]) -> Path:
    """Write sheets of plain cells."""
    with xlsxwriter.Workbook(path) as book:
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for number, row in enumerate(rows):
                sheet.write_row(number, 0, row)
    return path


def good(path: Path) -> Path:
    """Write a workbook that can be stored."""
    return write(path, {"pavements": PAVEMENTS, "infiltration_tests": TESTS})


def repack(path: Path, changed: Mapping[str, bytes], **options: object) -> Path:
    """Rewrite a workbook with some of its parts changed or added."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in {**parts, **changed}.items():
            archive.writestr(name, data)
    return path


def archive(path: Path, parts: Mapping[str, str]) -> Path:
    """Write an archive of these parts alone, workbook or not."""
    with zipfile.ZipFile(path, "w") as made:
        for name, text in parts.items():
            made.writestr(name, text)
    return path
