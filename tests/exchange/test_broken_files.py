"""Each broken file is refused with one clear line, or asks; nothing of it is stored.

The folders of fixtures/broken hold one break each, beside rows that are right.
"""

from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.exchange.columns import TABLES
from registry.exchange.problems import Problem, SpreadsheetRefused
from registry.models import InfiltrationTest, Pavement, Site, Spot
from tests.exchange.folders import folder, pavement, run
from tests.factories import OrganisationFactory

BROKEN = Path(__file__).parents[2] / "fixtures" / "broken"
PAVEMENTS, TESTS = "pavements.csv", "infiltration_tests.csv"

REFUSED = {
    "wrong_unit_in_header": (TESTS, 1, "ring_cm", "ring_mm, ring_in"),
    "missing_column": (TESTS, 1, "ended", "missing"),
    "unknown_column": (PAVEMENTS, 1, "colour", "not known"),
    "semicolons": (PAVEMENTS, 1, "", "semicolons"),
    "decimal_commas": (TESTS, 2, "", "decimal comma"),
    "no_such_day": (TESTS, 2, "started_at", "no such day"),
    "two_pavements_with_one_ref": (PAVEMENTS, 3, "ref", "row 2"),
    "unknown_ref": (TESTS, 2, "pavement_ref", "no pavement P9"),
    "day_or_month_first": (TESTS, 2, "started_at", "2022-03-04 or 2022-04-03"),
    "negative_water": (TESTS, 2, "water_kg", "negative"),
    "water_beyond_any_test": (TESTS, 2, "water_kg", "more than 1000 kg"),
    "same_test_twice": (TESTS, 3, "pavement_ref, point, started_at, run", "row 2"),
    "empty_file": (TESTS, None, "", "empty"),
    "headers_only": (PAVEMENTS, None, "", "no row"),
    "column_twice": (TESTS, 1, "ring_mm", "twice"),
    "cells_beyond_the_header": (TESTS, 2, "", "13 cells and the header 11"),
    "nul_byte": (TESTS, None, "", "NUL"),
    "both_units_filled": (PAVEMENTS, 2, "area_ft2", "area_m2 is filled in as well"),
    "systems_mixed": (TESTS, 2, "ring_mm, water_lb, prewet_kg", "mixed in one row"),
    "unclosed_quote": (PAVEMENTS, 2, "", "quotation marks"),
    "wrong_word": (TESTS, 2, "ended", "drained, stopped, too_fast, spoiled"),
    "tomorrow": (TESTS, 2, "started_at", "future"),
    "defect_of_no_pavement": ("defects.csv", 2, "pavement_ref", "no pavement P1"),
    "defect_unit_of_another_kind": ("defects.csv", 2, "unit", "not measured in m"),
}
ASKED = {
    "minutes_or_seconds": (TESTS, 2, "seconds", "3.42 s gives 53"),
    "decimal_commas_quoted": (TESTS, 2, "water_kg", "was read as 3.6 kg"),
}
TAKEN_AS_IT_IS = {"with_byte_order_mark", "minutes_and_seconds"}


def problem_of(listed: list[Problem], wanted: tuple) -> Problem:
    file, row, column, words = wanted
    found = [p for p in listed if (p.file, p.row, p.column) == (file, row, column)]
    assert found, [str(p) for p in listed]
    assert words in f"{found[0].message} {found[0].mend}"
    return found[0]


def test_every_folder_is_spoken_of():
    assert {p.name for p in BROKEN.iterdir()} == {*REFUSED, *ASKED, *TAKEN_AS_IT_IS}


@pytest.mark.django_db
@pytest.mark.parametrize("name", REFUSED)
def test_broken_file_is_refused_and_nothing_is_stored(name: str):
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(BROKEN / name, organisation=OrganisationFactory())
    problem = problem_of(refused.value.problems, REFUSED[name])
    assert problem.message.endswith(".") or problem.message.endswith("?")
    for model in (Pavement, Site, Spot, InfiltrationTest):
        assert not model.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("name", ASKED)
def test_doubtful_cell_is_asked_about_and_its_row_stored(name: str):
    outcome = import_records(BROKEN / name, organisation=OrganisationFactory())
    problem_of(outcome.prepared.records.doubts.listed, ASKED[name])
    assert InfiltrationTest.objects.count() == 1


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(TAKEN_AS_IT_IS))
def test_harmless_oddity_is_taken_without_a_word(name: str):
    outcome = import_records(BROKEN / name, organisation=OrganisationFactory())
    assert outcome.batch.doubt_count == 0
    assert InfiltrationTest.objects.count() == 1


@pytest.mark.django_db
def test_a_link_in_the_folder_is_refused(tmp_path: Path):
    (tmp_path / "pavements.csv").symlink_to(BROKEN / "same_test_twice" / "pavements.csv")
    with pytest.raises(SpreadsheetRefused, match="a link to another place"):
        import_records(tmp_path, organisation=OrganisationFactory())


@pytest.mark.django_db
def test_every_fault_of_a_file_is_told_at_once(tmp_path: Path):
    rows = ["ref,name,site,surface,placed_on,area_m2"]
    rows += [f"P{n},Lot,Mill Lane,marble,2019-05-04,420" for n in range(3)]
    (tmp_path / "pavements.csv").write_text("\n".join(rows))
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(tmp_path, organisation=OrganisationFactory())
    assert [p.row for p in refused.value.problems] == [2, 3, 4]


@pytest.mark.django_db
def test_a_missing_path_and_an_empty_folder_are_told(tmp_path: Path):
    for path, words in ((tmp_path / "x", "no such file"), (tmp_path, "no record file")):
        with pytest.raises(SpreadsheetRefused, match=words):
            import_records(path, organisation=OrganisationFactory())


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("coding", "words"),
    [("latin-1", "Line 2 is not UTF-8: byte 0xE9 after “P1,Lot,Caf”"), ("utf-16", "in UTF-16")],
)
def test_another_coding_than_utf_8_is_named_with_its_line(tmp_path: Path, coding: str, words: str):
    rows = "ref,name,site,surface,placed_on,area_m2\nP1,Lot,Café,pervious_concrete,2019-05-04,420\n"
    (tmp_path / PAVEMENTS).write_bytes(rows.encode(coding))
    with pytest.raises(SpreadsheetRefused, match=words):
        import_records(tmp_path, organisation=OrganisationFactory())


@pytest.mark.django_db
def test_every_file_of_a_folder_that_cannot_be_read_is_told_at_once(tmp_path: Path):
    (tmp_path / PAVEMENTS).write_text("ref;name\nP1;Lot\n")
    (tmp_path / "sweeps.csv").write_bytes("pavement_ref,done_at,méthod\n".encode("latin-1"))
    (tmp_path / "defects.csv").write_text("")
    (tmp_path / TESTS).write_text("pavement_ref,point\nP9,U\n")
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(tmp_path, organisation=OrganisationFactory())
    told = {(p.file, p.row, p.column) for p in refused.value.problems}
    whole = {("defects.csv", None, ""), (PAVEMENTS, 1, ""), ("sweeps.csv", None, "")}
    # P9 may stand in the file that could not be read: nothing is said of it.
    assert whole | {(TESTS, 1, "ended")} <= told
    assert not {column for _, _, column in told} & {"pavement_ref"}


@pytest.mark.django_db
def test_a_file_that_breaks_off_hides_no_fault_of_the_next(tmp_path: Path):
    header = "ref,name,site,surface,placed_on,area_m2\n"
    (tmp_path / PAVEMENTS).write_text(header + '"P1,Lot,Mill Lane\n')
    (tmp_path / "sweeps.csv").write_text("pavement_ref,done_at,method\nP1,2023-02-29,broom\n")
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(tmp_path, organisation=OrganisationFactory())
    told = [(p.file, p.row, p.column) for p in refused.value.problems]
    assert told == [(PAVEMENTS, 2, ""), ("sweeps.csv", 2, "done_at")]


@pytest.mark.django_db
def test_rows_of_a_second_file_of_one_table_are_not_held_against_the_first(tmp_path: Path):
    rows = (BROKEN / "same_test_twice" / PAVEMENTS).read_text()
    (tmp_path / PAVEMENTS).write_text(rows)
    (tmp_path / "more.csv").write_text(rows)
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(tmp_path, organisation=OrganisationFactory())
    [problem] = refused.value.problems
    assert (problem.file, problem.row) == (PAVEMENTS, None)
    assert "so does more.csv" in problem.message


@pytest.mark.django_db
def test_file_of_a_header_alone_beside_full_ones_is_named(tmp_path):
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(),))
    header = ",".join(TABLES["sweeps"].columns)
    (path / "sweeps.csv").write_text(f"{header}\n", encoding="utf-8")
    batch = import_records(path, organisation=OrganisationFactory()).batch
    assert "sweeps.csv holds its header and no row below it." in batch.notes
    assert [note for note in batch.notes if "no row" in note and "sweeps" not in note] == []
    assert batch.counts == {"pavements": 1, "infiltration_tests": 1, "sweeps": 0}
