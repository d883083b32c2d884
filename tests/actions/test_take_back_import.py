"""A spreadsheet taken back whole: void, readable, refused where something hangs on it."""

from pathlib import Path

import pytest
from django.utils import timezone

from registry.actions.correct_entry import Change, correct_entry
from registry.actions.import_records import import_records
from registry.actions.refresh_dues import refresh_dues
from registry.actions.take_back_import import (
    CannotBeTakenBack,
    entry_models,
    take_back_import,
)
from registry.models import (
    Criteria,
    Due,
    ImportBatch,
    InfiltrationTest,
    JournalLine,
    Organisation,
    Outlook,
    Pavement,
    PavementNumber,
    Seat,
    Spot,
)
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import (
    InfiltrationTestFactory,
    OrganisationFactory,
    SeatFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def org() -> Organisation:
    return OrganisationFactory()


@pytest.fixture
def batch(org: Organisation, tmp_path: Path) -> ImportBatch:
    path = folder(
        tmp_path / "a",
        pavements=(pavement(action_rate_mm_h="254"),),
        runs=(run(), run(point="T2")),
        sweeps=(sweep(),),
    )
    return import_records(path, organisation=org).batch


def test_every_row_of_it_becomes_void_with_the_reason(batch: ImportBatch, org: Organisation):
    take_back_import(batch, why="wrong town", by=None)
    came = [m for m in entry_models() if m.objects.filter(import_batch=batch).exists()]
    assert {m.__name__ for m in came} == {
        "Cleaning",
        "Criteria",
        "InfiltrationTest",
        "Pavement",
        "Site",
        "Spot",
    }
    for model in came:
        assert set(model.objects.values_list("void_why", flat=True)) == {"wrong town"}
    assert PavementNumber.objects.get().is_taken_back
    assert Seat.objects.get().to_at is not None
    lines = JournalLine.objects.filter(pavement=Pavement.objects.get())
    assert [line.verb for line in lines] == ["taken back", "brought in"]
    batch.refresh_from_db()
    assert (batch.state, batch.taken_back_why) == ("taken_back", "wrong town")


def test_the_same_can_come_in_again_and_be_taken_back_again(
    batch: ImportBatch, org: Organisation, tmp_path: Path
):
    take_back_import(batch, why="wrong town", by=None)
    again = import_records(tmp_path / "a", organisation=org)
    assert again.batch.pk != batch.pk
    assert again.batch.counts["infiltration_tests"] == 2
    assert InfiltrationTest.objects.standing().count() == 2
    take_back_import(again.batch, why="still wrong", by=None)
    assert not InfiltrationTest.objects.standing().exists()


def test_what_the_worker_worked_out_of_it_is_not_in_the_way_and_goes_with_it(batch: ImportBatch):
    pavement = Pavement.objects.get()
    refresh_dues([pavement.pk])
    now = timezone.now()
    Outlook.objects.create(
        pavement=pavement, as_of_on=now.date(), worked_out_at=now, why_not="Too few tests."
    )
    assert Due.objects.filter(pavement=pavement).exists()
    take_back_import(batch, why="wrong town", by=None)
    assert not (Due.objects.exists() or Outlook.objects.exists())


def test_it_is_refused_while_a_test_by_hand_hangs_on_a_pavement(batch: ImportBatch):
    spot = Spot.objects.first()
    InfiltrationTestFactory(pavement=spot.pavement, spot=spot, number="T-99")
    with pytest.raises(CannotBeTakenBack, match="T-99 at Lot"):
        take_back_import(batch, why="wrong town", by=None)
    assert InfiltrationTest.objects.standing().count() == 3


def test_it_is_refused_while_a_later_spreadsheet_hangs_on_it(
    batch: ImportBatch, org: Organisation, tmp_path: Path
):
    later = import_records(
        folder(tmp_path / "b", runs=(run(started_at="2024-05-01T10:00"),)), organisation=org
    ).batch
    with pytest.raises(CannotBeTakenBack, match="T1 2024-05-01"):
        take_back_import(batch, why="wrong town", by=None)
    take_back_import(later, why="wrong town", by=None)
    take_back_import(batch, why="wrong town", by=None)


def test_it_is_refused_while_a_later_pavement_lies_on_a_site_of_it(
    org: Organisation, tmp_path: Path
):
    at = {"lon": "-74.0", "lat": "40.7"}
    first = import_records(
        folder(tmp_path / "c", pavements=(pavement(ref="P7", **at),)), organisation=org
    ).batch
    import_records(
        folder(tmp_path / "d", pavements=(pavement(ref="P8", name="Path", **at),)),
        organisation=org,
    )
    with pytest.raises(CannotBeTakenBack, match="pavement Path"):
        take_back_import(first, why="wrong town", by=None)


def test_it_is_refused_while_somebody_elses_seat_hangs_on_it(batch: ImportBatch):
    SeatFactory(pavement=Pavement.objects.get(), organisation__name="Tester Ltd", role="tester")
    with pytest.raises(CannotBeTakenBack, match="Tester Ltd"):
        take_back_import(batch, why="wrong town", by=None)


def test_it_is_refused_where_a_row_was_corrected(batch: ImportBatch, org: Organisation):
    row = Criteria.objects.get()
    change = Change(value=300.0, text="300 mm/h")
    correct_entry(
        row, changes={"action_rate_mm_h": change}, why="new permit", by=None, organisation=org
    )
    with pytest.raises(CannotBeTakenBack, match="a correction of"):
        take_back_import(batch, why="wrong town", by=None)


def test_taking_back_tests_leaves_the_older_record_as_it_was(
    batch: ImportBatch, org: Organisation, tmp_path: Path
):
    """A test under 24 h after the one taken back was kept out of the trend by that alone."""
    before = list(InfiltrationTest.objects.order_by("pk").values("use", "doubts"))
    close = run(started_at="2023-04-30T20:00")
    later = import_records(folder(tmp_path / "b", runs=(close,)), organisation=org).batch
    changed = list(
        InfiltrationTest.objects.filter(import_batch=batch).order_by("pk").values("use", "doubts")
    )
    assert changed != before
    take_back_import(later, why="typed twice", by=None)
    mine = InfiltrationTest.objects.filter(import_batch=batch).order_by("pk")
    assert list(mine.values("use", "doubts")) == before


@pytest.mark.parametrize("why", ["", "  "])
def test_a_reason_is_needed(batch: ImportBatch, why: str):
    with pytest.raises(CannotBeTakenBack, match="Say why"):
        take_back_import(batch, why=why, by=None)


def test_only_what_is_stored_is_taken_back_and_only_once(batch: ImportBatch):
    take_back_import(batch, why="wrong town", by=None)
    with pytest.raises(CannotBeTakenBack, match="Only a spreadsheet that is stored"):
        take_back_import(batch, why="once more", by=None)
