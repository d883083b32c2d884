"""Defects out of a spreadsheet: all or nothing, asked where a person decides, taken back whole."""

from datetime import date
from pathlib import Path

import pytest
from django_tasks_db.models import DBTaskResult

from registry.actions import import_records as import_records_module
from registry.actions.import_records import Outcome, import_records
from registry.actions.move_defect import move_defect
from registry.actions.record_defect import record_defect
from registry.actions.take_back_import import CannotBeTakenBack, take_back_import
from registry.defects import CannotMove
from registry.exchange.problems import SpreadsheetRefused
from registry.gathering.defect_growth import growth_of
from registry.models import (
    Defect,
    DefectLink,
    DefectMove,
    ImportBatch,
    JournalLine,
    Observation,
    Organisation,
    Pavement,
    PavementNumber,
)
from registry.models.choices import Role
from tests.actions.plans import drawn_lot
from tests.exchange.folders import Row, defect, folder, pavement
from tests.factories import OrganisationFactory, SeatFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def org() -> Organisation:
    return OrganisationFactory(time_zone="America/New_York")


def bring(org: Organisation, path: Path, *rows: Row, with_lot: bool = True) -> Outcome:
    lots = (pavement(),) if with_lot else ()
    return import_records(folder(path, pavements=lots, defects=rows), organisation=org)


def numbered_lot(org: Organisation) -> Pavement:
    """A lot of the record with a plan in metres, which the organisation keeps as P1."""
    lot = drawn_lot()
    SeatFactory(pavement=lot, organisation=org, role=Role.OWNER)
    PavementNumber.objects.create(pavement=lot, organisation=org, number="P1")
    return lot


def doubts(found: Outcome) -> list[tuple[int, str]]:
    return [(doubt["row"], doubt["message"]) for doubt in found.batch.doubts]


TWO_LOOKS = (
    defect(extent="12.5", width_mm="4", note="Measured by tape."),
    defect(seen_on="2024-05-02", extent="14.5", width_mm="4", note="Measured by tape. East end."),
)


def test_rows_of_one_kind_and_place_are_looks_at_one_defect_and_show_its_growth(org, tmp_path):
    bring(org, tmp_path, *TWO_LOOKS)
    [row] = Defect.objects.all()
    first, second = row.observations.order_by("seen_on")
    assert (row.place, row.first_seen_on, row.state) == (
        "C8 · 3.2 R · 8.5 U", date(2023, 5, 2), "noted",
    )  # fmt: skip
    assert (first.length_m, first.crack_width_m) == (pytest.approx(3.81), pytest.approx(0.004))
    assert (first.severity, first.severity_by_eye) == ("moderate", False)
    assert (second.method, second.note) == ("tape", "East end.")
    [line] = growth_of(row, "length_m", [first, second], [])
    # 2 ft over 366 days of a year of 365.25: by hand.
    assert line.per_year == pytest.approx(2 * 0.3048 / (366 / 365.25))


def test_severity_without_what_it_rests_on_is_stored_as_given_by_eye(org, tmp_path):
    bring(org, tmp_path, defect(kind="raveling", unit="m2", extent="4", severity="high"))
    [look] = Observation.objects.all()
    assert (look.severity, look.severity_by_eye, look.area_m2) == ("high", True, 4.0)


def test_severity_beside_measures_that_say_another_is_asked_about(org, tmp_path):
    found = bring(org, tmp_path, defect(width_mm="2", lip_mm="0", severity="high"))
    assert doubts(found)[0][1].startswith("By eye high; by the measures")
    assert Observation.objects.get().severity == "high"


def test_state_of_a_day_alone_is_a_move_and_no_look(org, tmp_path):
    bring(
        org,
        tmp_path,
        defect(width_mm="4", state="confirmed"),
        defect(seen_on="2023-09-01", state="watching", note="agreed on site"),
        defect(seen_on="2024-05-02", width_mm="5"),
    )
    [row] = Defect.objects.all()
    moves = [(m.on, m.from_state, m.to_state) for m in row.moves.all()]
    assert moves == [
        (date(2023, 5, 2), "", "confirmed"), (date(2023, 9, 1), "confirmed", "watching"),
    ]  # fmt: skip
    assert row.moves.last().why.endswith("row 3: agreed on site")
    assert row.observations.count() == 2


def test_steps_that_are_not_in_the_file_are_never_made_up(org, tmp_path):
    found = bring(
        org, tmp_path, defect(width_mm="4"), defect(seen_on="2024-05-02", state="repaired")
    )
    [row] = Defect.objects.all()
    assert [(m.from_state, m.to_state) for m in row.moves.all()] == [
        ("", "noted"), ("noted", "repaired"),
    ]  # fmt: skip
    assert [r for r, words in doubts(found) if "steps that are not in the file" in words] == [3]


def test_case_44_missed_once_stays_open_and_twice_is_closed(org, tmp_path):
    bring(
        org,
        tmp_path,
        defect(width_mm="4", state="watching"),
        defect(seen_on="2024-05-02", state="not_found_once"),
        defect(seen_on="2025-05-02", state="not_found_closed"),
    )
    [row] = Defect.objects.all()
    looks = row.observations.order_by("seen_on").values_list("found", "good_light")
    assert list(looks) == [("found", ""), ("not_found", "yes"), ("not_found", "yes")]
    assert row.state == "not_found_closed"


def test_found_again_goes_back_to_what_it_was(org, tmp_path):
    bring(
        org,
        tmp_path,
        defect(width_mm="4", state="noted"),
        defect(seen_on="2024-05-02", state="not_found_once"),
        defect(seen_on="2025-05-02", state="noted"),
    )
    [row] = Defect.objects.all()
    assert (row.state, row.moves.last().is_back, row.observations.count()) == ("noted", True, 3)


def test_case_43_noted_again_where_it_was_repaired_is_a_new_defect_that_recurs(org, tmp_path):
    found = bring(
        org,
        tmp_path,
        defect(width_mm="4", state="watching"),
        defect(seen_on="2023-09-01", state="repaired"),
        defect(seen_on="2025-05-02", width_mm="3", state="noted"),
    )
    link = DefectLink.objects.get()
    assert (link.relation, link.other.state, link.defect.state) == ("recurs", "repaired", "noted")
    assert [r for r, words in doubts(found) if "recurs there" in words] == [4]


def test_what_lies_within_a_foot_is_asked_about_and_stored_by_itself(org, tmp_path):
    found = bring(org, tmp_path, defect(width_mm="4"), defect(right="3.9", width_mm="3"))
    assert Defect.objects.count() == 2
    assert [r for r, words in doubts(found) if "same as the one of row 2" in words] == [3]


def test_what_lies_further_off_or_is_of_another_kind_is_not_asked_about(org, tmp_path):
    found = bring(
        org,
        tmp_path,
        defect(width_mm="4"),
        defect(right="4.3", width_mm="3"),  # 1.1 ft off; 4.3 rule 9 asks within 1.0 ft
        defect(kind="corner_break", unit="count", extent="1", right="3.2 ft", up="8.5 ft"),
    )
    assert Defect.objects.count() == 3
    assert doubts(found) == []


def test_place_of_no_unit_is_asked_about(org, tmp_path):
    found = bring(org, tmp_path, defect(unit="", width_mm="4"))
    assert "read in ft" in doubts(found)[0][1]


def test_place_without_a_panel_is_measured_from_the_datum(org, tmp_path):
    bring(org, tmp_path, defect(panel="", right="1-3", up="2-4", unit="m", width_mm="4"))
    [row] = Defect.objects.all()
    assert row.outline == [[1.0, 2.0], [3.0, 2.0], [3.0, 4.0], [1.0, 4.0]]
    assert row.outline_kind == "area"


def test_two_defects_without_place_are_two(org, tmp_path):
    blank = {"panel": "", "right": "", "up": ""}
    found = bring(org, tmp_path, defect(**blank), defect(**blank, seen_on="2024-05-02"))
    assert Defect.objects.count() == 2
    assert {words for _, words in doubts(found)} == {"No place is given."}


FAULTS = (
    ({"kind": "hole"}, "kind", "none of its words"),
    ({"state": "resolved"}, "state", "none of its words"),
    ({"seen_on": "2999-01-01"}, "seen_on", "lies in the future"),
    ({"seen_on": ""}, "seen_on", "not filled in"),
    ({"pavement_ref": "P9"}, "pavement_ref", "no pavement P9"),
    ({"extent": "3", "unit": ""}, "unit", "has no unit"),
    ({"extent": "3", "unit": "m2"}, "unit", "not measured in m2"),
    ({"extent": "3 m"}, "extent", "the column unit says otherwise"),
    ({"extent": "-3"}, "extent", "cannot be negative"),
    ({"width_mm": "wide"}, "width_mm", "not a number"),
    ({"right": "far"}, "right", "not a length"),
    ({"right": "9-2"}, "panel, right, up", "smaller measure first"),
    ({"right": "3 ft", "up": "1 m"}, "right, up", "mixed in one place"),
    ({"kind": "discoloration", "unit": "ft2", "severity": "high"}, "severity", "never above low"),
    ({"kind": "lip", "unit": "in", "extent": "1", "lip_mm": "6"}, "lip_mm", "25.4 mm"),
    ({"state": "not_found_once"}, "state", "nobody has found it yet"),
    ({"kind": "prints", "unit": "count", "extent": "1.5"}, "extent", "whole number"),
)  # fmt: skip


@pytest.mark.parametrize(("changes", "column", "words"), FAULTS)
def test_fault_of_a_row_names_file_row_and_column_and_nothing_is_stored(
    org, tmp_path, changes, column, words
):
    with pytest.raises(SpreadsheetRefused) as refused:
        bring(org, tmp_path, defect(panel="A1"), defect(**changes))
    [fault] = refused.value.problems
    assert (fault.file, fault.row, fault.column) == ("defects.csv", 3, column)
    assert words in fault.message and fault.mend
    assert not Pavement.objects.exists() and not Defect.objects.exists()


@pytest.mark.parametrize(
    ("later", "column", "words"),
    [
        ({"state": "noted"}, "state", "never becomes noted"),
        ({"state": "not_found_once", "width_mm": "3"}, "state", "still it was measured"),
    ],
)
def test_state_that_cannot_follow_is_a_fault(org, tmp_path, later, column, words):
    rows = (defect(state="part_of", width_mm="4"), defect(seen_on="2024-05-02", **later))
    with pytest.raises(SpreadsheetRefused) as refused:
        bring(org, tmp_path, *rows)
    [fault] = refused.value.problems
    assert (fault.row, fault.column) == (3, column)
    assert words in fault.message


def test_row_that_is_there_twice_is_a_fault(org, tmp_path):
    with pytest.raises(SpreadsheetRefused, match="measures as row 2"):
        bring(org, tmp_path, defect(width_mm="4"), defect(width_mm="4"))


def test_dry_run_tells_the_same_and_stores_nothing(org, tmp_path):
    path = folder(tmp_path, pavements=(pavement(),), defects=TWO_LOOKS)
    found = import_records(path, organisation=org, dry_run=True)
    assert found.batch.counts["defects"] == 2
    assert not Defect.objects.exists() and not ImportBatch.objects.exists()


def test_same_rows_again_change_nothing(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    before = JournalLine.objects.count()
    again = bring(org, tmp_path / "one", *TWO_LOOKS)
    assert again.was_in_before and JournalLine.objects.count() == before
    other = bring(org, tmp_path / "two", *reversed(TWO_LOOKS), with_lot=False)
    assert (other.batch.counts["defects"], other.batch.known["defects"]) == (0, 2)
    assert (Defect.objects.count(), Observation.objects.count()) == (1, 2)


def test_look_that_differs_from_the_record_is_a_fault_that_names_both(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    with pytest.raises(SpreadsheetRefused) as refused:
        bring(org, tmp_path / "two", defect(extent="12.5", width_mm="5"), with_lot=False)
    [fault] = refused.value.problems
    assert (fault.column, fault.message) == (
        "width_mm", "The record has 4 mm here, the file 5 mm.",
    )  # fmt: skip


def test_next_year_s_look_joins_the_defect_of_the_record(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    later = defect(seen_on="2025-05-02", extent="15", state="watching")
    found = bring(org, tmp_path / "two", later, with_lot=False)
    [row] = Defect.objects.all()
    assert (row.observations.count(), row.state) == (3, "watching")
    assert "steps that are not in the file" in doubts(found)[0][1]


def test_look_before_it_was_first_seen_is_a_fault(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    with pytest.raises(SpreadsheetRefused, match="first seen on 2023-05-02"):
        bring(org, tmp_path / "two", defect(seen_on="2022-05-02", extent="1"), with_lot=False)


def test_side_that_may_not_note_defects_brings_none_in(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    [number] = PavementNumber.objects.all()
    stranger = OrganisationFactory()
    SeatFactory(pavement=number.pavement, organisation=stranger, role=Role.BUYER)
    PavementNumber.objects.create(pavement=number.pavement, organisation=stranger, number="P1")
    with pytest.raises(SpreadsheetRefused, match="holds no seat"):
        bring(stranger, tmp_path / "two", defect(panel="A1", width_mm="2"), with_lot=False)


def test_town_does_not_learn_of_a_defect_that_was_not_sent_to_it(org, tmp_path):
    """Its row of the same place becomes a defect of its own; the two are never compared."""
    bring(org, tmp_path / "one", *TWO_LOOKS)
    lot = Pavement.objects.get()
    town = OrganisationFactory(usual_role=Role.MUNICIPALITY)
    SeatFactory(pavement=lot, organisation=town, role=Role.MUNICIPALITY)
    PavementNumber.objects.create(pavement=lot, organisation=town, number="P1")
    found = bring(town, tmp_path / "two", defect(extent="99", width_mm="9"), with_lot=False)
    assert found.batch.counts["defects"] == 1 and doubts(found) == []
    assert Defect.objects.filter(pavement=lot).count() == 2


def test_taken_back_whole_with_the_moves_it_made(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    later = defect(seen_on="2025-05-02", extent="15", state="confirmed")
    second = bring(org, tmp_path / "two", later, defect(panel="A1"), with_lot=False).batch
    take_back_import(second, why="wrong lot", by=None)
    [row] = Defect.objects.standing()
    assert (row.state, row.observations.standing().count()) == ("noted", 2)
    assert row.moves.last().is_back and "wrong lot" in row.moves.last().why
    again = bring(org, tmp_path / "two", later, defect(panel="A1"), with_lot=False)
    assert not again.was_in_before
    row.refresh_from_db()
    assert row.state == "confirmed"


def test_not_taken_back_once_somebody_moved_or_looked_on(org, tmp_path):
    first = bring(org, tmp_path / "one", *TWO_LOOKS).batch
    row = Defect.objects.get()
    move_defect(row, to_state="confirmed", on=date(2025, 1, 1), by=None, organisation=org)
    with pytest.raises(CannotBeTakenBack, match="confirmed"):
        take_back_import(first, why="wrong", by=None)


def test_not_taken_back_once_its_move_of_an_older_defect_was_followed(org, tmp_path):
    bring(org, tmp_path / "one", *TWO_LOOKS)
    later = defect(seen_on="2025-05-02", extent="15", state="confirmed")
    second = bring(org, tmp_path / "two", later, with_lot=False).batch
    row = Defect.objects.get()
    move_defect(row, to_state="watching", on=date(2025, 6, 1), by=None, organisation=org)
    with pytest.raises(CannotBeTakenBack, match="a move of defect 1"):
        take_back_import(second, why="wrong", by=None)


def test_place_on_the_plan_of_the_record_gives_panel_and_outline(org, tmp_path):
    numbered_lot(org)
    found = bring(org, tmp_path, defect(panel="A2", right="1", up="2", unit="m"), with_lot=False)
    [row] = Defect.objects.all()
    assert (row.panel.name, row.outline_kind, doubts(found)) == ("A2", "spot", [])


def test_place_beyond_the_plan_is_asked_about_and_kept_as_written(org, tmp_path):
    numbered_lot(org)
    found = bring(org, tmp_path, defect(panel="Z9", right="1", up="2", unit="m"), with_lot=False)
    [row] = Defect.objects.all()
    assert (row.panel, row.place) == (None, "Z9 · 1.00 R · 2.00 U")
    assert "Z9" in doubts(found)[0][1]


def test_defect_noted_on_its_page_is_joined_by_its_place(org, tmp_path):
    lot = numbered_lot(org)
    noted = Defect(
        pavement=lot, kind="crack", place="A2 · 1.00 R · 2.00 U", first_seen_on=date(2022, 5, 1)
    )
    record_defect(noted, by=None, organisation=org)
    bring(
        org, tmp_path, defect(panel="A2", right="1", up="2", unit="m", width_mm="4"), with_lot=False
    )
    assert [d.pk for d in Defect.objects.all()] == [noted.pk]
    assert DefectMove.objects.count() == 1


def test_journal_tells_each_row_of_a_file_as_it_would_of_a_page(org, tmp_path):
    bring(
        org,
        tmp_path,
        defect(width_mm="4"),
        defect(seen_on="2024-05-02", width_mm="5", state="confirmed"),
    )
    [row] = Defect.objects.all()
    lines = JournalLine.objects.filter(subject_kind__in=("defect", "observation")).order_by("pk")
    looks = list(row.observations.order_by("seen_on"))
    told = [(line.verb, line.subject_id, line.changes, line.by_organisation) for line in lines]
    assert told == [
        ("noted", row.pk, {}, org),
        ("looked at", looks[0].pk, {}, org),
        ("looked at", looks[1].pk, {}, org),
        ("moved", row.pk, {"state": ["noted", "confirmed"]}, org),
    ]
    assert {line.pavement_id for line in lines} == {row.pavement_id}
    assert lines[3].why.endswith("row 3")


def test_defects_of_a_file_are_numbered_on_from_the_last_of_each_pavement(org, tmp_path):
    first = (defect(width_mm="4"), defect(panel="A1", width_mm="2"))
    bring(org, tmp_path / "one", *first)
    bring(org, tmp_path / "two", defect(panel="B2", width_mm="2"), with_lot=False)
    assert list(Defect.objects.order_by("pk").values_list("number", flat=True)) == [1, 2, 3]


def test_condition_and_what_is_due_are_worked_out_after_a_file_of_ponding(org, tmp_path):
    before = DBTaskResult.objects.filter(task_path="registry.tasks.work_out_standings").count()
    bring(org, tmp_path, defect(kind="ponding", unit="m2", extent="4"))
    jobs = DBTaskResult.objects.filter(task_path="registry.tasks.work_out_standings")
    assert jobs.count() == before + 1
    assert jobs.latest("enqueued_at").args_kwargs["args"] == [[Pavement.objects.get().pk]]


def test_all_or_nothing_where_the_record_moved_on_meanwhile(org, tmp_path, monkeypatch):
    """A move that the record allows no more is refused, and nothing of the file is stored."""
    bring(org, tmp_path / "one", *TWO_LOOKS)
    later = defect(seen_on="2025-05-02", extent="15", state="confirmed")
    path = folder(tmp_path / "two", defects=(defect(panel="A1", width_mm="2"), later))
    row = Defect.objects.get()
    plain = import_records_module.store_defect_rows

    def late(*given):
        Defect.objects.filter(pk=row.pk).update(state="closed")
        plain(*given)

    monkeypatch.setattr(import_records_module, "store_defect_rows", late)
    with pytest.raises(CannotMove, match="closed"):
        import_records(path, organisation=org)
    assert Defect.objects.count() == 1
