"""A page's rows, fetched by a few questions, say what the tables say when each is asked for."""

from dataclasses import fields
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from registry.access.once import once_a_page
from registry.actions.judge_tests import judge_tests
from registry.gathering.condition import condition_of, decide_condition
from registry.gathering.decline_records import arrange_records, gather_records
from registry.gathering.layouts import layout_of
from registry.gathering.pavement_rows import FetchedTables, pavement_rows, record_rows
from registry.gathering.spot_days import spot_days
from registry.models import (
    CleanedPanel,
    Cleaning,
    DefectMove,
    InfiltrationTest,
    ObservationWell,
    Pavement,
    WellReading,
)
from registry.models.choices import Role
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    DefectFactory,
    DirtSourceFactory,
    InfiltrationTestFactory,
    PanelFactory,
    PavementFactory,
    PlanFactory,
    SeatFactory,
    SpotFactory,
    VisitFactory,
)

TODAY = date(2024, 6, 3)
AT = datetime(2024, 5, 2, 9, tzinfo=ZoneInfo("America/New_York"))


@pytest.fixture
def lot(db: None) -> Pavement:
    lot = PavementFactory(placed_on=date(2019, 5, 2), heavy_trees="yes")
    CriteriaFactory(pavement=lot, from_on=date(2020, 1, 1), drawdown_limit_h=24)
    PlanFactory(pavement=lot, number=1)
    plan = PlanFactory(pavement=lot, number=2)
    town = SeatFactory(pavement=lot, role=Role.MUNICIPALITY).organisation
    panels = [
        PanelFactory(pavement=lot, plan=plan, name=n, up_m=u) for n, u in (("A1", 0), ("A2", 5))
    ]
    spots = [SpotFactory(pavement=lot, panel=p, stratum="field") for p in panels]
    given = {"pavement": lot, "rain_within_24_h": "no"}
    for nth, spot in enumerate(spots):
        for year in range(2020, 2024):
            row = {"started_on": date(year, 5, 2), "seconds": 60.0 * (year - 2018 + nth)}
            InfiltrationTestFactory(spot=spot, submitted_on=TODAY if nth else None, **row, **given)
    double = InfiltrationTest.objects.first()
    last = InfiltrationTestFactory(spot=spots[0], started_on=AT.date(), **given)
    InfiltrationTestFactory(spot=spots[0], started_on=AT.date(), double_of=double, **given)
    InfiltrationTestFactory(
        spot=spots[1], started_on=AT.date(), entered_for=town, seconds=900.0, **given
    )
    _cleaned(lot, panels, last)
    _watered(lot)
    DirtSourceFactory(pavement=lot)
    judge_tests([lot.pk])
    return lot


def _cleaned(lot, panels, last):
    part = CleaningFactory(pavement=lot, done_on=AT.date(), covers_all=False, is_restorative=True)
    CleanedPanel.objects.create(cleaning=part, panel=panels[0])
    CleanedPanel.objects.create(cleaning=part, panel=panels[1], is_missed=True, why="a car")
    part.after_tests.add(last)
    CleaningFactory(pavement=lot, done_on=date(2021, 9, 1), submitted_on=TODAY)
    CleaningFactory(pavement=lot, state="called_off", why_not="rain")
    CleaningFactory(pavement=lot, void_at=AT, void_why="twice")


def _watered(lot):
    visit = VisitFactory(
        pavement=lot, state="done", done_on=AT.date(), rain_ended_at=AT - timedelta(hours=30)
    )
    well = ObservationWell.objects.create(pavement=lot, name="W1")
    WellReading.objects.create(
        well=well, pavement=lot, visit=visit, read_on=AT.date(), read_at=AT, to_water_m=0.4
    )
    for number, to in ((1, "repaired"), (2, "confirmed")):
        pool = DefectFactory(pavement=lot, number=number, kind="ponding", first_seen_on=AT.date())
        DefectMove.objects.create(defect=pool, to_state=to, on=AT.date(), at=AT)


def fetched(lot: Pavement, viewpoint: str):
    rows = pavement_rows(
        lot, viewpoint=viewpoint, parts=Pavement.objects.filter(parent=lot), today=TODAY
    )
    everything = (
        InfiltrationTest.objects.filter(pavement=lot),
        Cleaning.objects.filter(pavement=lot),
    )
    return rows, record_rows(lot, everything, viewpoint=viewpoint, spots=rows.all_spots)


@pytest.mark.parametrize("viewpoint", ["holder", "town"])
def test_condition_is_that_of_each_table_asked_for_by_itself(lot: Pavement, viewpoint: str):
    rows, records = fetched(lot, viewpoint)
    found = decide_condition(rows.condition_rows(records), today=TODAY, system="si")
    alone = condition_of(lot, viewpoint=viewpoint, today=TODAY, system="si")
    assert found == alone
    assert alone.days and alone.water.ponding is (True if viewpoint == "holder" else None)


def test_usable_days_are_worked_out_once_where_all_that_counts_is_seen(lot: Pavement):
    holder, town = (fetched(lot, v)[1] for v in ("holder", "town"))
    assert holder.seen_days is holder.town_days
    assert town.town_days == spot_days(t for t in town.town_tests if not t.is_void)
    assert len(town.seen_days) > len(town.town_days)


def test_two_viewpoints_differ_here(lot: Pavement):
    holder, town = (fetched(lot, v)[1] for v in ("holder", "town"))
    assert len(town.town_tests) == 5
    assert len(holder.town_tests) == len(holder.tests) == 11
    assert len(town.town_cleanings) == 1


def test_decline_is_read_from_fetched_rows_as_from_the_database(
    lot: Pavement, django_assert_num_queries
):
    rows, records = fetched(lot, "holder")
    with django_assert_num_queries(0):
        found = arrange_records(FetchedTables(rows, records), on=TODAY)
    alone = gather_records([lot.pk], on=TODAY)
    assert (found.lives, found.spots, found.parts) == (alone.lives, alone.spots, alone.parts)
    for table in fields(alone.records):
        one, other = getattr(found.records, table.name), getattr(alone.records, table.name)
        for column in fields(other):
            np.testing.assert_array_equal(getattr(one, column.name), getattr(other, column.name))
    assert len(alone.records.runs.spot) == 11 and len(alone.records.cleanings.method) == 2


def test_reader_without_a_viewpoint_is_given_no_test_but_their_own(lot: Pavement):
    own = InfiltrationTest.objects.filter(pk=InfiltrationTest.objects.first().pk)
    seen = own, Cleaning.objects.none()
    records = record_rows(lot, seen, viewpoint=None, spots=list(lot.spots.all()))
    assert list(records.tests) == list(own)
    assert records.seen_cleanings == []
    assert len(records.restorative) == 1


def test_plan_of_the_page_is_kept_for_its_pictures(lot, rf, django_assert_num_queries):
    alone = layout_of(lot)

    def page(request):
        fetched(lot, "holder")
        with django_assert_num_queries(0):
            assert layout_of(lot) == alone

    once_a_page(page)(rf.get("/"))
