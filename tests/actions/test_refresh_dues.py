"""What is due follows each change that matters: in the same transaction, or by a queued job."""

from datetime import date
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from registry import tasks
from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.actions.end_seat import end_seat
from registry.actions.grant_seat import Term, grant_seat
from registry.actions.move_defect import move_defect
from registry.actions.record_cleaning import record_cleaning
from registry.actions.record_defect import record_defect
from registry.actions.refresh_dues import refresh_dues, refresh_stale_dues
from registry.actions.void_entry import void_entry
from registry.models import (
    Cleaning,
    Defect,
    DirtSource,
    Due,
    Observation,
    PermitMinimum,
    Price,
    Season,
    SeasonDay,
)
from registry.models.choices import Role
from registry.models.entry import Change
from tests import factories

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}


@pytest.fixture
def lot():
    row = factories.PavementFactory()
    factories.SeatFactory(pavement=row, role=Role.MANAGER)
    return row


def day_at_the_site():
    return timezone.localdate(timezone=ZoneInfo(factories.SiteFactory.time_zone))


def due(lot):
    return Due.objects.get(pavement=lot)


def queued(name):
    path = f"registry.tasks.{name}"
    return [row.args_kwargs["args"] for row in DBTaskResult.objects.filter(task_path=path)]


def test_source_of_dirt_stopped_or_void_changes_the_proposal_at_once(lot):
    row = add_entry(DirtSource(pavement=lot, kind="tree", brings="sand"), **NOBODY)
    assert due(lot).method == "vacuum"
    correct_entry(row, changes={"brings": Change("leaf", "leaf")}, why="looked", **NOBODY)
    assert due(lot).method == "broom"
    void_entry(row, why="no such tree", **NOBODY)
    assert due(lot).method == ""


def test_defect_noted_and_moved_changes_the_proposal_at_once(lot):
    today = day_at_the_site()
    row = Defect(pavement=lot, kind="clogged", first_seen_on=today, place="edge")
    look = Observation(seen_on=today, method="tape", area_m2=1.0)
    row = record_defect(row, first_look=look, **NOBODY)
    assert due(lot).method == "wash_and_vacuum"
    move_defect(row, to_state="no_action", on=today, **NOBODY)
    assert due(lot).method == ""


def test_permit_and_cleaning_count_at_once(lot):
    today = day_at_the_site()
    add_entry(PermitMinimum(pavement=lot, set_by="the town", source_document="permit 7"), **NOBODY)
    assert due(lot).permits[0]["done"] == 0
    wash = Cleaning(pavement=lot, method="vacuum", done_on=today)
    wash = record_cleaning(wash, before_tests=(), after_tests=(), **NOBODY)
    assert due(lot).permits[0]["done"] == 1
    void_entry(wash, why="another lot", **NOBODY)
    assert due(lot).permits[0]["done"] == 0


def test_seat_of_another_keeper_brings_its_calendar(lot):
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    refresh_dues([lot.pk])
    firm = factories.SeasonFactory(methods=["vacuum"], name="own weeks").organisation
    lot.seats.update(to_at=timezone.now())
    term = Term(Role.MANAGER, timezone.now(), source_document="agreement")
    seat = grant_seat(pavement=lot, organisation=firm, term=term, by=None)
    assert "own weeks" in due(lot).earliest_why
    end_seat(seat=seat, why="agreement over", **NOBODY)
    assert "own weeks" not in due(lot).earliest_why


@pytest.mark.parametrize(
    "make",
    [
        lambda firm: Season(
            organisation=firm, name="own weeks", methods=["vacuum"], from_month=1, from_day=1,
            to_month=12, to_day=31,
        ),
        lambda firm: SeasonDay(organisation=firm, fact="last_sand", on=date(2026, 3, 1)),
        lambda firm: Price(organisation=firm, method_class="vacuum", per_m2=1, currency="$"),
    ],
)  # fmt: skip
def test_entry_of_a_house_queues_all_that_it_keeps(lot, make):
    firm = lot.seats.get().organisation
    add_entry(make(firm), **NOBODY)
    assert queued("work_out_dues_kept_by") == [[firm.pk]]
    factories.DirtSourceFactory(pavement=lot, brings="sand")
    factories.DueFactory()
    assert tasks.work_out_dues_kept_by.call(firm.pk) == 1
    assert due(lot).method == "vacuum"


def test_correction_of_a_site_queues_its_pavements(lot):
    changes = {"climate": Change("coast", "coast")}
    correct_entry(lot.site, changes=changes, why="it is", **NOBODY)
    assert queued("work_out_dues_at") == [[lot.site_id]]
    assert tasks.work_out_dues_at.call(lot.site_id) == 1
    assert Due.objects.filter(pavement=lot).exists()


def test_spreadsheet_of_readings_brings_what_is_due_with_the_conditions(lot):
    tasks.work_out_standings.call([lot.pk])
    assert due(lot).as_of_on is not None


def test_once_a_day_all_that_is_older_or_missing_is_done_and_nothing_twice(lot):
    other = factories.PavementFactory()
    day = date(2026, 7, 1)
    assert refresh_stale_dues(today=day) == 2
    assert refresh_stale_dues(today=day) == 0
    type(other).objects.filter(pk=other.pk).update(state="closed")
    assert refresh_stale_dues(today=date(2026, 7, 2)) == 1
    assert due(lot).as_of_on == date(2026, 7, 2)


def test_pavement_out_of_service_loses_its_line_when_it_is_looked_at(lot):
    refresh_dues([lot.pk])
    type(lot).objects.filter(pk=lot.pk).update(state="closed")
    refresh_dues([lot.pk])
    assert not Due.objects.filter(pavement=lot).exists()


def test_done_twice_is_the_same_line(lot):
    refresh_dues([lot.pk])
    first = Due.objects.values().get()
    refresh_dues([lot.pk])
    again = Due.objects.values().get()
    assert {**first, "worked_out_at": None} == {**again, "worked_out_at": None}
