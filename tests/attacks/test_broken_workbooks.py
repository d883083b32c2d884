"""Workbooks as they really come: each is refused or asked about, by sheet, row and column."""

from datetime import date, datetime, time
from pathlib import Path

import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.worksheet.worksheet import Worksheet

from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.sources import find_source, read_tables
from registry.models import InfiltrationTest, Pavement
from tests.attacks.receive import batch_of, store
from tests.attacks.spreadsheets import LOTS, SHEET, book, cell, patched
from tests.exchange import workbooks
from tests.exchange.workbooks import PAVEMENTS, TESTS

LOTS_SHEET = "book.xlsx, sheet pavements"
WATER = b'<c r="F2"><v>3.6</v></c>'
LAST_ROW = 1_048_576


def title_over_merged_cells(sheet: Worksheet) -> None:
    sheet.insert_rows(1)
    sheet["A1"] = "Tests of 2023"
    sheet.merge_cells("A1:H1")


def second_header(sheet: Worksheet) -> None:
    sheet.insert_rows(2)
    sheet["E2"], sheet["F2"], sheet["G2"] = "mm", "kg", "s"


def hidden_row(sheet: Worksheet) -> None:
    sheet.append([*TESTS[1][:1], "T2", *TESTS[1][2:]])
    sheet.row_dimensions[3].hidden = True


def filtered(sheet: Worksheet) -> None:
    sheet.auto_filter.ref = "A1:H3"
    hidden_row(sheet)


def hidden_column(sheet: Worksheet) -> None:
    sheet.column_dimensions["F"].hidden = True


def hidden_sheet(sheet: Worksheet) -> None:
    sheet.sheet_state = "veryHidden"


def struck_out(sheet: Worksheet) -> None:
    sheet["G2"].font = sheet["H2"].font = Font(strike=True)


def note_sheet(sheet: Worksheet) -> None:
    sheet.parent.create_sheet("Read me").append(["Dear all"])


def same_table_twice(sheet: Worksheet) -> None:
    sheet.parent.copy_worksheet(sheet).title = "Infiltration_Tests "


def beside_each_other(sheet: Worksheet) -> None:
    sheet.insert_rows(1, 3)
    sheet.insert_cols(1, 2)
    sheet["J5"] = "dranied"


REFUSED = {
    "a day kept as a number": (cell("C2", 45047.4166667), SHEET, 2, "started_at", "dates"),
    "a day before the calendars agree": (
        cell("C2", 60, "yyyy-mm-dd"), SHEET, 2, "started_at", "a number below 61 shown as a day",
    ),
    "a time without a day": (cell("C2", time(10), "hh:mm"), SHEET, 2, "started_at", "day and time"),
    "a day for seconds": (
        cell("G2", datetime(2023, 5, 1, 3, 42), "yyyy-mm-dd hh:mm"), SHEET, 2, "seconds", "3:42",
    ),
    "a title over merged cells": (title_over_merged_cells, SHEET, 1, "", "above the header"),
    "merged cells in the header": (
        lambda sheet: sheet.merge_cells("E1:F1"), SHEET, 1, "water_kg or water_lb", "missing",
    ),
    "a second header": (second_header, SHEET, 2, "water_kg", "“kg” is not a number"),
    "a blank header cell": (cell("G1", None), SHEET, 1, "seconds", "missing"),
    "a header in two lines": (cell("F1", "water\nkg"), SHEET, 1, "water kg", "Was water_kg meant"),
    "a formula": (cell("F2", "=1.8*2"), SHEET, 2, "water_kg", "Cell F2 holds a formula"),
    "a formula below the table": (cell("F9", "=SUM(F2:F8)"), SHEET, 9, "water_kg", "as values"),
    "an error": (cell("F2", "#N/A"), SHEET, 2, "water_kg", "the error #N/A"),
    "true": (cell("F2", True), SHEET, 2, "water_kg", "“TRUE” is not a number"),
    "a percentage": (cell("F2", 0.5, "0%"), SHEET, 2, "water_kg", "F2 shows a percentage"),
    "a percentage of a form of its own": (
        cell("F2", 0.5, "0.00 %;[Red]-0.00 %"), SHEET, 2, "water_kg", "F2 shows a percentage",
    ),
    "a unit in the number format": (
        cell("F2", 3.6, '0.0" lb"'), SHEET, 2, "water_kg", "F2 is shown with “lb”",
    ),
    "a number behind an apostrophe": (cell("G2", "'120.5"), SHEET, 2, "seconds", "“'120.5” is not"),
    "a ref that lost its zeros": (cell("A2", 7), SHEET, 2, "pavement_ref", "no pavement 7"),
    "a line of totals": (cell("F4", 3.6), SHEET, 4, "point", "no record, delete it"),
    "a footnote": (cell("A5", "* by the consultant"), SHEET, 5, "started_at", "delete it"),
    "a sheet of notes": (note_sheet, "book.xlsx, sheet Read me", 1, "", "What is no record"),
    "one table on two sheets": (
        same_table_twice, "book.xlsx, sheet Infiltration_Tests ", None, "", "into one",
    ),
    "a table away from the corner": (beside_each_other, SHEET, 5, "ended", "“dranied”"),
    "a value in the last row": (cell(f"A{LAST_ROW}", "P1"), "book.xlsx", None, "", "row 1048576"),
}  # fmt: skip
REFUSED |= {
    "a number shown in thousands": (
        cell("F2", 3600, "0.0,"), SHEET, 2, "water_kg", "F2 is shown in thousands, which is not",
    ),
    "a number shown as nothing": (cell("F2", 3.6, ";;;"), SHEET, 2, "water_kg", "as nothing"),
    "a bound in the number format": (
        cell("G2", 120, '"> "0'), SHEET, 2, "seconds", "G2 is shown with “>”",
    ),
}  # fmt: skip
ASKED = {
    "a row struck out": (struck_out, 2, "seconds", "G2 and 1 more are struck out", 1),
    "a hidden row": (hidden_row, 3, "", "This row is hidden", 2),
    "a row that a filter hides": (filtered, 3, "", "by a filter", 2),
    "a hidden column": (hidden_column, None, "water_kg", "column is hidden", 1),
    "a hidden sheet": (hidden_sheet, None, "", "sheet is hidden", 1),
    "hours or minutes": (cell("G2", time(3, 42), "h:mm"), 2, "seconds", "3 min 42 s or as", 1),
}
TAKEN = {
    "a day and time of the calendar": cell("C2", datetime(2023, 5, 1, 10), "yyyy-mm-dd hh:mm"),
    "a number kept as text": cell("F2", "3.6"),
    "minutes and seconds": cell("G2", time(0, 2, 1), "mm:ss"),
    "a header in capitals": cell("C1", "  Started_At "),
    "a blank row in between": cell("F3", None),
    "percent signs that do not count": cell("G2", 121, '0"%"'),
    "the unit of the header in the number format": cell("F2", 3.6, '0.0\\ "kg"'),
    "a short word for seconds in the number format": cell("G2", 120.75, '0.0" s";[Red]"none"'),
    "words in a format of days": cell("C2", datetime(2023, 5, 1, 10), 'd" of "mmmm yyyy h:mm'),
}


def found(problems: list[dict], file: str, at: int | None, column: str) -> str:
    """What is said there, with what would mend it; every one must say both."""
    assert all(p["message"] and p["mend"] for p in problems)
    said = [p for p in problems if (p["file"], p["row"], p["column"]) == (file, at, column)]
    assert said, problems[:9]
    return " ".join(f"{p['message']} {p['mend']}" for p in said)


@pytest.mark.django_db
@pytest.mark.parametrize("name", REFUSED)
def test_broken_workbook_is_refused_with_its_place(tmp_path: Path, name: str):
    edit, file, at, column, words = REFUSED[name]
    batch = book(tmp_path, edit)
    assert batch.state == "refused"
    assert words in found(batch.faults, file, at, column)
    assert not Pavement.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("name", ASKED)
def test_doubtful_workbook_is_asked_about_before_anything_is_stored(tmp_path: Path, name: str):
    edit, at, column, words, runs = ASKED[name]
    batch = book(tmp_path, edit)
    assert (batch.state, batch.counts["infiltration_tests"]) == ("checked", runs)
    assert words in found(batch.doubts, SHEET, at, column)
    assert not Pavement.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("name", TAKEN)
def test_harmless_workbook_is_taken_in(tmp_path: Path, name: str):
    batch = store(book(tmp_path, TAKEN[name]))
    assert batch.state == "stored"
    run = InfiltrationTest.objects.get()
    assert (run.started_on, run.started_at.hour) == (date(2023, 5, 1), 14)
    assert run.seconds == pytest.approx(120.75, abs=0.26)


@pytest.mark.django_db
def test_days_counted_from_1904_are_the_days_that_are_shown(tmp_path: Path):
    """Published rule: ECMA-376 part 1, 18.17.4.1, the date system of 1904."""

    def from_1904(sheet: Worksheet) -> None:
        sheet.parent.epoch = CALENDAR_MAC_1904
        cell("C2", datetime(2023, 5, 1, 10), "yyyy-mm-dd hh:mm")(sheet)

    store(book(tmp_path, from_1904))
    assert f"{InfiltrationTest.objects.get().started_at:%Y-%m-%d %H:%M}" == "2023-05-01 14:00"


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("new", "column", "words"),
    [
        (b'<c r="F2"><f>1.8*2</f></c>', "water_kg", "holds a formula"),
        (b'<c r="F2"><f t="shared" si="0"/><v>3.6</v></c>', "water_kg", "holds a formula"),
        (b'<c t="e" r="F2"><v>#DIV/0!</v></c>', "water_kg", "the error #DIV/0!"),
        (b'<c r="F2"><v>NaN</v></c>', "water_kg", "is not a number"),
        (b'<c r="F2"><v>1e999</v></c>', "water_kg", "is not a number"),
        (b'<c r="F2"><v>1e300</v></c>', "water_kg", "too long to be a number"),
    ],
)
def test_cell_without_a_plain_value_is_refused(tmp_path: Path, new: bytes, column: str, words: str):
    batch = patched(tmp_path, WATER, new)
    assert batch.state == "refused"
    assert words in found(batch.faults, SHEET, 2, column)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("old", "new"),
    [
        (WATER, b'<c r="F2" t="s"><v>-1</v></c>'),
        (WATER, b'<c r="F2" t="s"><v>999</v></c>'),
        (WATER, b'<c r="2F"><v>3.6</v></c>'),
        (b"</sheetData>", b""),
    ],
)
def test_sheet_that_contradicts_itself_is_refused(tmp_path: Path, old: bytes, new: bytes):
    batch = patched(tmp_path, old, new)
    assert batch.state == "refused"
    assert "Save it once more as .xlsx." in found(batch.faults, "book.xlsx", None, "")


@pytest.mark.django_db
def test_empty_cells_that_only_have_a_style_are_no_rows(tmp_path: Path):
    """To the last row and the last column a sheet can have: nothing is set aside for them."""
    styled = b"".join(
        b'<row r="%d"><c r="A%d" s="0"/><c r="XFD%d" s="0"></c></row>' % (n, n, n)
        for n in range(LAST_ROW - 2000, LAST_ROW + 1)
    )
    batch = patched(tmp_path, b"</sheetData>", styled + b"</sheetData>")
    assert (batch.state, batch.rows_read) == ("checked", 2)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"mimetype": "application/vnd.oasis.opendocument.spreadsheet"}, "not an .xlsx workbook"),
        ({"word/document.xml": "<a/>"}, "not an .xlsx workbook"),
        ({"xl/workbook.bin": "a"}, "not an .xlsx workbook"),
        ({"pavements.csv": LOTS}, "not an .xlsx workbook"),
    ],
)
def test_archive_of_another_kind_is_named(tmp_path: Path, parts: dict[str, str], words: str):
    workbooks.archive(tmp_path / "book.xlsx", parts)
    batch = batch_of(tmp_path)
    assert words in found(batch.faults, "book.xlsx", None, "")


def refusal(path: Path) -> str:
    with pytest.raises(SpreadsheetRefused) as refused:
        [list(table.rows) for table in read_tables(find_source(path))]
    return str(refused.value)


def test_folder_with_what_programs_leave_behind_is_read_and_says_what_was_not(tmp_path: Path):
    (tmp_path / "pavements.csv").write_text(LOTS)
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "sweeps.csv").write_text("x")
    for name in ("~$book.xlsx", "._sweeps.csv", ".~lock.pavements.csv#", "sweeps.txt"):
        (tmp_path / name).write_text("x")
    source = find_source(tmp_path)
    assert [path.name for path in source.files] == ["pavements.csv"]
    assert len(source.notes) == 5
    assert all("was not read" in note for note in source.notes)


def test_what_is_neither_file_nor_folder_is_refused(tmp_path: Path):
    path = tmp_path / "pavements.csv"
    path.symlink_to("/dev/zero")
    assert "neither a file nor a folder" in refusal(path)
    assert "link to another place" in refusal(tmp_path)


def test_styles_without_formats_and_sheets_without_styles_are_read(tmp_path: Path):
    path = workbooks.good(tmp_path / "book.xlsx")
    workbooks.repack(path, {"xl/styles.xml": b"<styleSheet/>"})
    assert [len(list(table.rows)) for table in read_tables(find_source(path))] == [1, 1]


@pytest.mark.django_db
def test_remarks_pinned_to_cells_are_asked_about_once(tmp_path: Path):
    def remarked(sheet: Worksheet) -> None:
        sheet["G2"].comment = Comment("142 on the sheet", "J")

    batch = book(tmp_path, remarked)
    asked = [d["message"] for d in batch.doubts if "remarks pinned to cells" in d["message"]]
    assert len(asked) == 1, "once, and not for each sheet"


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (b'<row r="2"', b'<row ht="0" r="2"', "This row is hidden"),
        (b"<sheetData>", b'<cols><col min="6" max="6" width="0"/></cols><sheetData>', "is hidden"),
    ],
)
def test_rows_and_columns_of_no_size_are_hidden_ones(
    tmp_path: Path, old: bytes, new: bytes, words: str
):
    batch = patched(tmp_path, old, new)
    assert any(words in d["message"] for d in batch.doubts), batch.doubts


def test_another_library_writes_what_is_read_here(tmp_path: Path):
    """openpyxl keeps its texts in one table of the archive and writes cells in its own way."""
    made = openpyxl.Workbook()
    made.worksheets[0].title = "pavements"
    for cells in PAVEMENTS:
        made.worksheets[0].append(cells)
    made.save(tmp_path / "book.xlsx")
    [table] = read_tables(find_source(tmp_path / "book.xlsx"))
    assert list(table.rows) == [(2, [str(value) for value in PAVEMENTS[1]])]
