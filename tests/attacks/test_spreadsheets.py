"""Spreadsheets made to break what reads them: each is refused in words, and the worker lives on."""

import zipfile
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from registry.actions.work_on_import import work_on_import
from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.sources import find_source, read_tables
from registry.exchange.workbook_in import LARGEST_LIST_BYTES
from registry.models import ImportBatch, Pavement
from tests import factories
from tests.attacks.receive import batch_of
from tests.exchange import workbooks
from tests.exchange.folders import folder, pavement, run, sweep

BOOK, LINKS = "xl/workbook.xml", "xl/_rels/workbook.xml.rels"
ENTITIES = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
LAUGHS = f'<!DOCTYPE workbook [<!ENTITY l0 "lol">{ENTITIES}]><workbook>&l9;</workbook>'


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return workbooks.good(tmp_path / "book.xlsx")


def refusal(path: Path) -> str:
    with pytest.raises(SpreadsheetRefused) as refused:
        [list(table.rows) for table in read_tables(find_source(path))]
    return str(refused.value)


@pytest.mark.parametrize("coding", ["utf-8", "utf-16", "utf-16-le", "utf-32"])
@pytest.mark.parametrize("part", [BOOK, LINKS, "xl/worksheets/sheet1.xml"])
def test_entities_that_swell_are_refused_in_whatever_coding(book: Path, coding, part):
    declared = f'<?xml version="1.0" encoding="{coding}"?>' + LAUGHS
    workbooks.repack(book, {part: declared.encode(coding)})
    assert "Save it once more" in refusal(book)


def test_a_list_of_sheets_of_many_megabytes_is_refused_before_it_is_parsed(book: Path):
    many = b"<workbook>" + b"<a/>" * (LARGEST_LIST_BYTES // 4) + b"</workbook>"
    workbooks.repack(book, {BOOK: many})
    assert "Save it once more" in refusal(book)


@pytest.mark.parametrize("part", [BOOK, LINKS, "xl/worksheets/sheet1.xml", "xl/styles.xml"])
def test_a_part_whose_bytes_are_spoiled_is_refused(book: Path, part):
    with zipfile.ZipFile(book) as archive:
        found = archive.getinfo(part)
    data = bytearray(book.read_bytes())
    start = found.header_offset + 30 + len(part)
    middle = start + found.compress_size // 2
    data[middle : middle + 4] = bytes(255 - byte for byte in data[middle : middle + 4])
    book.write_bytes(data)
    assert "Save it once more" in refusal(book)


def test_a_sum_of_the_directory_that_is_wrong_is_refused(book: Path):
    data = bytearray(book.read_bytes())
    for at in (data.rindex(BOOK.encode()) - 46 + 16, data.index(BOOK.encode()) - 30 + 14):
        data[at : at + 4] = b"\1\2\3\4"
    book.write_bytes(data)
    assert "Save it once more" in refusal(book)


NUMBERS = (
    "9" * 400,
    "9" * 5000,
    "9" * 400 + "/1",
    "1/" + "9" * 400,
    "1/" + "9" * 5000,
    "1e400",
    "nan",
    "inf",
    "-1",
    "9" * 400 + ":10",
    "9" * 5000 + " h",
    "²",
)


@pytest.mark.django_db
@pytest.mark.parametrize("text", NUMBERS, ids=lambda t: f"{t[:6]}_{len(t)}")
def test_a_cell_that_holds_no_number_is_a_fault_in_its_row(tmp_path: Path, text: str):
    rows = {
        "pavements": (pavement(), pavement(ref="P2", area_m2=text)),
        "runs": tuple(
            run(point=f"T{n}", **{column: text})
            for n, column in enumerate(("ring_mm", "water_kg", "seconds", "prewet_seconds"))
        ),
        "sweeps": (sweep(area_m2=text),) if "area_m2" in sweep() else (),
    }
    batch = batch_of(folder(tmp_path, **rows))
    assert batch.state == "refused"
    assert {"area_m2", "ring_mm", "water_kg", "seconds", "prewet_seconds"} <= {
        fault["column"] for fault in batch.faults
    }
    assert all(len(fault["message"]) < 1000 for fault in batch.faults)
    assert not Pavement.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_days_at_the_ends_of_the_calendar_are_faults(tmp_path: Path, day: str):
    rows = {
        "pavements": (pavement(placed_on=day),),
        "runs": (run(started_at=f"{day}T23:59"),),
        "sweeps": (sweep(done_at=f"{day}T23:59"),),
    }
    batch = batch_of(folder(tmp_path, **rows))
    assert batch.state == "refused"
    assert {"placed_on", "started_at", "done_at"} <= {f["column"] for f in batch.faults}


@pytest.mark.django_db
def test_a_text_longer_than_its_column_is_a_fault(tmp_path: Path):
    long = "x" * 100_000
    batch = batch_of(folder(tmp_path, pavements=(pavement(name=long),), runs=(run(point=long),)))
    assert batch.state == "refused"


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["é" * 240, "x" * 250, "a\nb", "..", "a/../../b", 'a"; b="c'])
def test_a_file_of_whatever_name_is_taken_in_or_refused(client, tmp_path: Path, name: str):
    member = factories.MembershipFactory()
    client.force_login(member.person)
    content = next(folder(tmp_path, pavements=(pavement(),)).iterdir()).read_bytes()
    sent = {"organisation": member.organisation_id}
    sent["chosen"] = SimpleUploadedFile(f"{name}.csv", content)
    answer = client.post(reverse("import_page"), sent, follow=True)
    assert answer.status_code == 200
    for batch in ImportBatch.objects.all():
        work_on_import(batch.pk)
        batch.refresh_from_db()
        assert batch.state in {"checked", "refused"}


@pytest.mark.django_db
def test_what_a_cell_says_is_shown_as_text(client, tmp_path: Path):
    said = '<img src=x onerror="alert(1)">'
    batch = batch_of(folder(tmp_path, pavements=(pavement(surface=said, area_m2=said),)))
    client.force_login(batch.by)
    page = client.get(reverse("import_batch_page", args=[batch.pk])).content.decode()
    assert "&lt;img src=x" in page
    assert "<img src=x" not in page
