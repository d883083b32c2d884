"""Numbers of sheets: each once, without gaps, however many print at the same time."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import connections
from django.db.utils import ConnectionHandler

from registry.actions.print_sheet import print_sheet
from registry.environment import sqlite_options
from registry.models import JournalLine, PrintedSheet, SheetCounter
from tests import factories


@dataclass(frozen=True)
class Made:
    pdf: bytes
    pages: int


def printed(kind="inspection", pavement=None, **changed):
    given = {
        "draw": lambda number: Made(f"sheet {number}".encode(), 1),
        "content": {"digest": "0" * 64, "plan_number": None},
        "system": "inch_pound",
        "paper": "letter",
        "by": None,
        "organisation": None,
    }
    return print_sheet(kind=kind, pavement=pavement, **{**given, **changed})


@pytest.mark.django_db
def test_each_kind_counts_for_itself():
    numbers = [printed(kind).row.number for kind in ("inspection", "infiltration", "inspection")]
    assert numbers == ["INS-0001", "INF-0001", "INS-0002"]


@pytest.mark.django_db
def test_the_sheet_is_drawn_under_its_number_and_kept():
    plan = factories.PlanFactory(number=2)
    person, firm = factories.PersonFactory(), factories.OrganisationFactory()
    content = {"digest": "a" * 64, "plan_number": 2}
    done = printed(pavement=plan.pavement, content=content, by=person, organisation=firm)
    row = PrintedSheet.objects.get()
    assert done.pdf == b"sheet INS-0001"
    assert (row.number, row.pages, row.plan, row.printed_by) == ("INS-0001", 1, plan, person)
    assert row.content["digest"] == "a" * 64
    line = JournalLine.objects.get()
    assert (line.verb, line.subject_name, line.pavement) == ("printed", "INS-0001", plan.pavement)
    assert (line.by, line.by_organisation) == (person, firm)


@pytest.mark.django_db
def test_numbers_go_on_past_9999_and_past_sheets_brought_in():
    SheetCounter.objects.create(kind="inspection", last=9998)
    PrintedSheet.objects.create(
        number="INS-9999", kind="inspection", system="si", paper="a4", content={"digest": "x"}
    )
    assert printed().row.number == "INS-10000"


@pytest.mark.django_db
def test_what_cannot_be_drawn_takes_no_number():
    def broken(number):
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        printed(draw=broken)
    assert printed().row.number == "INS-0001"
    assert PrintedSheet.objects.count() == 1


@pytest.mark.django_db
def test_an_unknown_paper_is_refused_and_takes_no_number():
    with pytest.raises(ValidationError):
        printed(paper="legal")
    assert printed().row.number == "INS-0001"


WRITERS, EACH = 6, 8


@pytest.mark.django_db  # on whatever engine: a file of SQLite is made beside its database
def test_six_printing_at_once_on_sqlite_never_share_a_number(tmp_path: Path):
    file = tmp_path / "record.sqlite3"
    to_file = ConnectionHandler(
        {
            "default": {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": str(file),
                "OPTIONS": sqlite_options(),
            }
        }
    )
    with to_file["default"].schema_editor() as editor:
        for model in apps.get_models():
            editor.create_model(model)
    to_file["default"].close()

    def work(_: int) -> list[str]:
        # Each thread gets a connection of its own to the file, as each process has.
        own = to_file.create_connection("default")
        connections["default"] = own
        try:
            return [printed().row.number for _ in range(EACH)]
        finally:
            own.close()

    with ThreadPoolExecutor(WRITERS) as pool:
        numbers = [number for found in pool.map(work, range(WRITERS)) for number in found]
    assert sorted(numbers) == [f"INS-{nth:04d}" for nth in range(1, WRITERS * EACH + 1)]
    with sqlite3.connect(file) as copy:
        assert copy.execute("select last from registry_sheetcounter").fetchall() == [(48,)]
    assert PrintedSheet.objects.count() == 0, "the test's own database is left alone"


@pytest.mark.server("postgresql")
@pytest.mark.django_db(transaction=True)
def test_six_printing_at_once_on_postgresql_never_share_a_number():
    def work(_: int) -> list[str]:
        try:
            return [printed().row.number for _ in range(EACH)]
        finally:
            connections.close_all()

    with ThreadPoolExecutor(WRITERS) as pool:
        numbers = [number for found in pool.map(work, range(WRITERS)) for number in found]
    assert sorted(numbers) == [f"INS-{nth:04d}" for nth in range(1, WRITERS * EACH + 1)]
