"""Who sees what at six moments of a pavement's life: visibility.csv is the table.

A row is a moment and a kind of record; a column one for each seat. It follows the trade's table of
who may see or alter what (common practice of such contracts, no source).
"""

import csv
from pathlib import Path

import pytest

from tests.visibility import ASK, MOMENTS, SEATS, answers, listed, scene

TABLE = Path(__file__).with_name("visibility.csv")
with TABLE.open(newline="", encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))


def test_table_has_every_kind_at_every_moment_for_every_seat():
    keys = [(row["moment"], row["record"]) for row in ROWS]
    assert keys == [(moment, kind) for moment in MOMENTS for kind in ASK]
    assert set(ROWS[0]) == {"moment", "record", *SEATS}
    assert {row[name] for row in ROWS for name in SEATS} == {"sees", "nothing"}


@pytest.mark.django_db
@pytest.mark.parametrize("moment", MOMENTS)
def test_each_seat_sees_what_the_table_says(moment: str):
    there = scene(moment)
    got = {kind: answers(there, kind) for kind in ASK}
    own = [row for row in ROWS if row["moment"] == moment]
    said = {row["record"]: {name: row[name] for name in SEATS} for row in own}
    assert got == said
    sheets = [kind for kind in ASK if kind.startswith("sheet: ")]
    opened = {name: {kind for kind in sheets if got[kind][name] == "sees"} for name in SEATS}
    assert {name: kinds for name, kinds in opened.items() if name in there.people} == listed(there)


def test_notes_kept_inside_and_crew_are_seen_by_the_contractor_alone():
    """Held by the table itself, so that nobody changes it without seeing this fail."""
    for row in ROWS:
        if row["record"] in ("contractor's inside note", "crew by task"):
            assert {name for name in SEATS if row[name] == "sees"} == {"contractor"}
