"""The same sheet copied in by several people at once: one visit, the others held as doubles."""

from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest
from django.apps import apps
from django.db import connections
from django.db.utils import ConnectionHandler

from registry.actions.copy_sheet import SheetRead, copy_sheet, differences
from registry.environment import sqlite_options
from registry.forms.sheet_copy import SheetHeadForm
from registry.models import PrintedSheet, SheetCopy, Visit
from tests import factories
from tests.visit_rows import DAY, seen_of

COPIERS = 6
NOBODY = {"by": None, "organisation": None}


def sheet_printed() -> PrintedSheet:
    return PrintedSheet.objects.create(
        number="INS-0417",
        kind="inspection",
        pavement=factories.PavementFactory(),
        system="si",
        paper="a4",
    )


def copied(nth: int) -> bool:
    """Copy the sheet in as one of several; say whether it became a double."""
    sheet = PrintedSheet.objects.select_related("pavement__site").get(number="INS-0417")
    visit = Visit(
        pavement=sheet.pavement, done_on=DAY, walked_by="M. Ferrand", walked_all=True
    )  # fmt: skip
    read = SheetRead(visit=visit, signed_by="M. Ferrand", next_due_on=date(2024, 11, 1))
    typed = {"Visit: date": "2024-04-18", "Foot: remark": f"copier {nth}"}
    seen = seen_of(sheet.pavement)
    return copy_sheet(sheet, read=read, seen=seen, typed=typed, **NOBODY).is_double


def test_differences_are_told_by_place_and_blanks_or_capitals_are_none():
    first = {"date": "2024-04-18", "weather": "Sun ", "no. 1": "9"}
    second = {"date": "2024-04-18", "weather": "sun", "no. 2": "n"}
    assert differences(first, second) == [["no. 1", "9", ""], ["no. 2", "", "n"]]


def test_a_field_that_moved_to_another_block_is_no_difference_and_rows_are_never_mixed_up():
    first = {"Water and dirt: dirt from": "aisle", "known no. 1: found": "y", "well 1: dry": "on"}
    second = {"Dirt and drains: dirt from": "aisle", "known no. 2: found": "y", "well 2: dry": "on"}
    assert differences(first, second) == [
        ["known no. 1: found", "y", ""],
        ["well 1: dry", "on", ""],
        ["known no. 2: found", "", "y"],
        ["well 2: dry", "", "on"],
    ]
    moved = second | {"Dirt and drains: dirt from": "bed"}
    assert differences(first, moved)[0] == ["Dirt and drains: dirt from", "aisle", "bed"]


def test_every_label_of_the_head_of_a_sheet_stands_once():
    labels = [SheetHeadForm.base_fields[n].label or n for _, of in SheetHeadForm.groups for n in of]
    assert len(labels) == len(set(labels))


@pytest.mark.django_db  # on whatever engine: a file of SQLite is made beside its database
def test_six_copying_one_sheet_at_once_on_sqlite_make_one_visit(tmp_path: Path):
    to_file = ConnectionHandler(
        {
            "default": {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": str(tmp_path / "record.sqlite3"),
                "OPTIONS": sqlite_options(),
            }
        }
    )
    with to_file["default"].schema_editor() as editor:
        for model in apps.get_models():
            editor.create_model(model)
    to_file["default"].close()

    def work(nth: int | None) -> object:
        own = to_file.create_connection("default")
        connections["default"] = own
        try:
            if nth is None:
                sheet_printed()
                return None
            return copied(nth) if nth < COPIERS else told()
        finally:
            own.close()

    with ThreadPoolExecutor(COPIERS) as pool:
        pool.submit(work, None).result()
        doubles = list(pool.map(work, range(COPIERS)))
        record = pool.submit(work, COPIERS).result()
    assert sorted(doubles) == [False] + [True] * (COPIERS - 1)
    assert record == (1, COPIERS, 1)


def told() -> tuple[int, int, int]:
    """How many visits, different copies, and differences in each double."""
    copies = list(SheetCopy.objects.all())
    remarks = {copy.typed["Foot: remark"] for copy in copies}
    [several] = {len(copy.differences) for copy in copies if copy.is_double}
    return Visit.objects.count(), len(remarks), several


@pytest.mark.server("postgresql")
@pytest.mark.django_db(transaction=True)
def test_six_copying_one_sheet_at_once_on_postgresql_make_one_visit():
    sheet_printed()

    def work(nth: int) -> bool:
        try:
            return copied(nth)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(COPIERS) as pool:
        doubles = list(pool.map(work, range(COPIERS)))
    assert sorted(doubles) == [False] + [True] * (COPIERS - 1)
    assert told() == (1, COPIERS, 1)
