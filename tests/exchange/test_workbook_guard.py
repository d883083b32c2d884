"""What is refused of a workbook before it is opened."""

import struct
import zipfile
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
import xlsxwriter

from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.sources import find_source, read_tables
from registry.exchange.workbook_guard import LARGEST_BYTES, check_workbook
from tests.exchange import workbooks

SHEET = "xl/worksheets/sheet1.xml"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return workbooks.good(tmp_path / "book.xlsx")


def refusal(path: Path) -> str:
    with pytest.raises(SpreadsheetRefused) as refused:
        [list(table.rows) for table in read_tables(find_source(path))]
    return str(refused.value)


def sheet_of(path: Path) -> bytes:
    with zipfile.ZipFile(path) as archive:
        return archive.read(SHEET)


def test_a_good_workbook_is_read(book: Path):
    tables = read_tables(find_source(book))
    assert [t.table.name for t in tables] == ["pavements", "infiltration_tests"]
    assert list(tables[1].rows) == [
        (2, ["P1", "T1", "2023-05-01 10:00", "c1701", "300", "3.6", "120.5", "drained"])
    ]


def test_a_workbook_that_unpacks_beyond_200_mb_is_refused(book: Path):
    zeros = b"\0" * (LARGEST_BYTES + 1)
    workbooks.repack(book, {"xl/media/bomb.bin": zeros})
    assert book.stat().st_size < 2**20
    assert "more than 200 MB" in refusal(book)


def test_a_workbook_that_lies_about_its_size_is_found_out_while_inflating(book: Path):
    workbooks.repack(book, {"xl/media/bomb.bin": b"\0" * (LARGEST_BYTES + 1)})
    data = bytearray(book.read_bytes())
    at = data.rindex(b"xl/media/bomb.bin") - 46  # of the central directory
    assert data[at : at + 4] == b"PK\x01\x02"
    data[at + 24 : at + 28] = struct.pack("<I", 10)
    book.write_bytes(data)
    with zipfile.ZipFile(book) as archive:
        assert archive.getinfo("xl/media/bomb.bin").file_size == 10
    assert "more than 200 MB" in refusal(book)


def test_formula_cells_are_named_with_row_and_column(tmp_path: Path):
    rows = [list(row) for row in workbooks.TESTS]
    rows[1][6] = "=2*60"
    path = workbooks.write(
        tmp_path / "book.xlsx", {"pavements": workbooks.PAVEMENTS, "infiltration_tests": rows}
    )
    with pytest.raises(SpreadsheetRefused) as refused:
        read_tables(find_source(path))
    [problem] = refused.value.problems
    assert (problem.file, problem.row, problem.column) == (
        "book.xlsx, sheet infiltration_tests",
        2,
        "seconds",
    )
    assert "Cell G2 holds a formula" in problem.message
    assert "paste it as values" in problem.mend


def test_formulas_in_two_sheets_are_told_at_once(tmp_path: Path):
    lots, runs = ([list(row) for row in rows] for rows in (workbooks.PAVEMENTS, workbooks.TESTS))
    lots[1][5], runs[1][5] = "=20*21", "=1.8*2"
    path = workbooks.write(tmp_path / "book.xlsx", {"pavements": lots, "infiltration_tests": runs})
    with pytest.raises(SpreadsheetRefused) as refused:
        read_tables(find_source(path))
    assert [(p.row, p.column) for p in refused.value.problems] == [(2, "area_m2"), (2, "water_kg")]


def test_a_cell_far_to_the_right_is_refused_before_room_is_made_for_it(book: Path):
    far = sheet_of(book).replace(b"</row>", b'<c r="XFD1"><v>1</v></c></row>', 1)
    assert "Cell XFD1 lies beyond column Z" in refusal(workbooks.repack(book, {SHEET: far}))


def test_a_cell_far_down_is_refused(book: Path):
    far = sheet_of(book).replace(
        b"</sheetData>", b'<row r="1048576"><c r="A1048576"><v>1</v></c></row></sheetData>'
    )
    assert "row 1048576" in refusal(workbooks.repack(book, {SHEET: far}))


def test_cells_that_do_not_say_where_they_are_are_refused(book: Path):
    loose = sheet_of(book).replace(b"</row>", b"<c><v>1</v></c></row>", 1)
    assert "does not say where its cells are" in refusal(workbooks.repack(book, {SHEET: loose}))


def test_a_part_with_entities_is_refused(book: Path):
    evil = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]>' + sheet_of(book)[55:]
    assert "unusual way" in refusal(workbooks.repack(book, {SHEET: evil}))


def test_macros_are_refused(book: Path):
    workbooks.repack(book, {"xl/vbaProject.bin": b"x"})
    assert "holds macros" in refusal(book.rename(book.with_suffix(".xlsm")))


@pytest.mark.parametrize(
    ("start", "words"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old kind (.xls)"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
            "protected by a password",
        ),
        (b"%PDF-1.4", "not an .xlsx workbook"),
        (b"PK\x03\x04 and nothing more", "damaged"),
    ],
)
def test_other_files_under_the_name_of_a_workbook_are_named(
    tmp_path: Path, start: bytes, words: str
):
    path = tmp_path / "book.xlsx"
    path.write_bytes(start)
    assert words in refusal(path)


def test_a_cut_off_workbook_is_damaged(book: Path):
    book.write_bytes(book.read_bytes()[:-200])
    assert "damaged" in refusal(book)


def test_a_workbook_named_csv_is_told_so(book: Path):
    assert "This is a workbook" in refusal(book.rename(book.with_suffix(".csv")))


def test_sheets_of_other_names_are_told_and_empty_ones_left_out(tmp_path: Path):
    path = workbooks.write(tmp_path / "a.xlsx", {"pavements": workbooks.PAVEMENTS, "Sheet2": []})
    assert len(read_tables(find_source(path))) == 1
    path = workbooks.write(tmp_path / "b.xlsx", {"Budget": [["what", "cost"], ["x", 1]]})
    assert "which record file this is" in refusal(path)


def test_a_workbook_without_formulas_has_none(book: Path):
    assert check_workbook(book, "book.xlsx")[SHEET].formulas == []


def test_dates_and_times_of_a_workbook_are_iso(tmp_path: Path):
    cells = {
        date(2022, 4, 3): "2022-04-03",
        datetime(2022, 4, 3, 10, 30): "2022-04-03T10:30",  # cells have no zone
        time(3, 42): "03:42:00",
        timedelta(seconds=222): "222",
    }
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet("infiltration_tests")
        sheet.write_row(0, 0, workbooks.TESTS[0])
        for number, value in enumerate(cells, start=1):
            form = made.add_format({"num_format": FORMS[type(value)]})
            sheet.write_datetime(number, 2, value, form)
    [table] = read_tables(find_source(path))
    assert [row[2] for _, row in table.rows] == list(cells.values())


FORMS = {date: "yyyy-mm-dd", datetime: "yyyy-mm-dd hh:mm", time: "h:mm", timedelta: "[h]:mm:ss"}
