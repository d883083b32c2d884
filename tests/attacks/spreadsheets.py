"""What people really send: record files with one thing wrong, made for a test."""

import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
from openpyxl.worksheet.worksheet import Worksheet

from registry.models import ImportBatch, Membership
from tests.attacks.receive import batch_of
from tests.exchange import workbooks
from tests.exchange.workbooks import PAVEMENTS, TESTS

HEADER = ",".join(map(str, TESTS[0]))
RUN = dict(zip(TESTS[0], map(str, TESTS[1]), strict=True))
LOT = "P1,Lot,Mill Lane,pervious_concrete,2019-05-04,420"
LOTS = "ref,name,site,surface,placed_on,area_m2\n" + LOT + "\n"
SHEET_OF_TESTS = "xl/worksheets/sheet2.xml"
SHEET = "book.xlsx, sheet infiltration_tests"
"""As a problem names it."""

Edit = Callable[[Worksheet], object]


def folder(path: Path, **files: str | bytes) -> Path:
    """Write files named by their table."""
    path.mkdir(exist_ok=True)
    for name, content in files.items():
        data = content if isinstance(content, bytes) else content.encode()
        (path / f"{name}.csv").write_bytes(data)
    return path


def row(**changes: str) -> str:
    """Return the line of a test that is right but for these cells."""
    return ",".join((RUN | changes).values()) + "\n"


def runs(*lines: str) -> str:
    return HEADER + "\n" + "".join(lines)


def lots(*refs: str) -> str:
    """Return the file of pavements, alike but for their refs."""
    return LOTS.splitlines()[0] + "\n" + "".join(LOT.replace("P1", ref) + "\n" for ref in refs)


def sent(
    path: Path,
    *,
    lots: str | bytes = LOTS,
    member: Membership | None = None,
    **files: str | bytes,
) -> ImportBatch:
    """Send CSV files as a person does; `lots` is the file of pavements."""
    return batch_of(folder(path / "sent", pavements=lots, **files), member)


def book(path: Path, edit: Edit, sheet: str = "infiltration_tests") -> ImportBatch:
    """Send a workbook, right but for an edit of one of its sheets."""
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for name, rows in (("pavements", PAVEMENTS), ("infiltration_tests", TESTS)):
        page = made.create_sheet(name)
        for cells in rows:
            page.append(cells)
    edit(made[sheet])
    return _send(path, made)


def _send(path: Path, made: openpyxl.Workbook) -> ImportBatch:
    (path / "sent").mkdir()
    made.save(path / "sent" / "book.xlsx")
    return batch_of(path / "sent")


def cell(place: str, value: object, form: str = "General") -> Edit:
    """Return an edit that writes one cell."""

    def edit(sheet: Worksheet) -> None:
        sheet[place] = value
        sheet[place].number_format = form

    return edit


def patched(path: Path, old: bytes, new: bytes) -> ImportBatch:
    """Send a workbook in whose sheet of tests some XML is another."""
    (path / "sent").mkdir()
    made = workbooks.good(path / "sent" / "book.xlsx")
    with zipfile.ZipFile(made) as archive:
        xml = archive.read(SHEET_OF_TESTS)
    assert old in xml
    workbooks.repack(made, {SHEET_OF_TESTS: xml.replace(old, new, 1)})
    return batch_of(path / "sent")
