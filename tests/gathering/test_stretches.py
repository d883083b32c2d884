"""Stretches of a trend, strata that nobody wrote, and runs that do not count, from rows."""

import math
from datetime import date

import pytest

from registry.actions.record_cleaning import record_cleaning
from registry.actions.record_infiltration_test import (
    CannotBeRecorded,
    record_infiltration_test,
    record_infiltration_tests,
)
from registry.actions.void_entry import void_entry
from registry.gathering.condition import condition_of
from registry.models import Cleaning, InfiltrationTest
from tests import factories

pytestmark = pytest.mark.django_db
CHANGED = date(2025, 8, 29)


@pytest.fixture
def pavement():
    row = factories.PavementFactory(placed_on=date(2019, 9, 1))
    level = {"action_rate_is_given": True, "pavement": row}
    factories.CriteriaFactory(action_rate_mm_h=21.0 * 25.4, to_on=CHANGED, **level)
    factories.CriteriaFactory(action_rate_mm_h=18.6 * 25.4, from_on=CHANGED, **level)
    return row


def unsaved(spot, day, seconds, **fields):
    return InfiltrationTest(
        pavement=spot.pavement,
        spot=spot,
        method="c1701",
        started_on=date.fromisoformat(day),
        system="inch_pound",
        ring=12.05,
        water=8.0,
        prewet_water=8.0,
        prewet_seconds=60.0,
        seconds=seconds,
        ended="drained",
        rain_within_24_h="no",
        stratum=spot.stratum,
        **fields,
    )


def run(spot, day, seconds, **fields):
    row = unsaved(spot, day, seconds, **fields)
    return record_infiltration_test(row, by=None, organisation=None)


def test_an_ended_stretch_runs_towards_the_level_of_its_own_days(pavement):
    spot = factories.SpotFactory(pavement=pavement, name="W", stratum="wheel_path")
    for day, seconds in (("2021-05-18", 60.0), ("2022-05-17", 95.0), ("2023-05-16", 225.0)):
        run(spot, day, seconds)
    wash = Cleaning(
        pavement=pavement, done_on=date(2023, 6, 20), method="wash_and_vacuum", is_restorative=True
    )
    record_cleaning(wash, by=None, organisation=None)
    for day, seconds in (("2023-06-25", 60.0), ("2024-05-21", 95.0), ("2025-09-23", 225.0)):
        run(spot, day, seconds)
    condition = condition_of(pavement, viewpoint="holder", today=date(2026, 5, 31))
    ended, running = condition.declines[spot]
    # By hand: the middle of three slopes joins first and last, 728 days; 31.07 in/h is the last.
    slope = math.log(225.0 / 60.0) / (728 / 365.25)
    assert ended.years_left == pytest.approx(math.log(31.07 / 21.0) / slope, abs=0.001)
    slope = math.log(225.0 / 60.0) / (821 / 365.25)
    assert running.years_left == pytest.approx(math.log(31.07 / 18.6) / slope, abs=0.001)


def test_old_acceptance_spots_without_a_stratum_ask_for_no_further_tests(pavement):
    run(factories.SpotFactory(pavement=pavement, name="B8"), "2021-07-26", 60.0)
    edge = factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")
    run(edge, "2026-05-14", 60.0)
    today = date(2026, 10, 15)
    assert condition_of(pavement, viewpoint="holder", today=today).word.word == "working"


def test_spot_without_a_stratum_decides_while_its_result_counts(pavement):
    run(factories.SpotFactory(pavement=pavement, name="B8"), "2026-05-14", 900.0)
    edge = factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")
    run(edge, "2026-05-14", 60.0)
    word = condition_of(pavement, viewpoint="holder", today=date(2026, 10, 15)).word
    assert (word.word, word.spot) == ("clean", "B8")


def test_a_pavement_with_no_stratum_at_all_still_asks_for_a_test(pavement):
    run(factories.SpotFactory(pavement=pavement, name="B8"), "2021-07-26", 60.0)
    word = condition_of(pavement, viewpoint="holder", today=date(2026, 10, 15)).word
    assert (word.word, word.rule) == ("not_decided", "No usable result in 24 months (usual value).")


def test_void_run_shows_what_its_readings_give_and_counts_nowhere(pavement):
    spot = factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")
    row = run(spot, "2026-05-14", 60.0)
    value = row.result_value
    void_entry(row, why="core hole under the ring", by=None, organisation=None)
    row.refresh_from_db()
    assert (row.use, row.result_value) == ("void", value)
    assert condition_of(pavement, viewpoint="holder", today=date(2026, 10, 15)).lowest is None


def test_the_same_run_is_refused_unless_it_says_that_it_is_a_double(pavement):
    spot = factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")
    kept = run(spot, "2026-05-14", 60.0)
    with pytest.raises(CannotBeRecorded, match="in the record already"):
        run(spot, "2026-05-14", 60.0)
    double = run(spot, "2026-05-14", 60.0, double_of=kept)
    assert (double.use, double.use_code) == ("void", "double")
    condition = condition_of(pavement, viewpoint="holder", today=date(2026, 10, 15))
    assert [t.pk for d in condition.days for t in d.tests] == [kept.pk]


def test_runs_stored_together_are_judged_as_if_they_came_one_by_one(pavement):
    spot = factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")
    rows = [unsaved(spot, day, 60.0) for day in ("2026-05-14", "2026-05-15")]
    assert record_infiltration_tests(rows, by=None, organisation=None) == 2
    uses = InfiltrationTest.objects.order_by("started_on").values_list("use", flat=True)
    assert list(uses) == ["trend", "trend"]
    doubts = InfiltrationTest.objects.get(started_on="2026-05-15").doubts
    assert [d["code"] for d in doubts] == ["24_h_not_shown"]


def test_runs_stored_together_come_all_or_not_at_all(pavement):
    spot = factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")
    twice = [unsaved(spot, "2026-05-14", 60.0) for _ in range(2)]
    with pytest.raises(CannotBeRecorded):
        record_infiltration_tests(twice, by=None, organisation=None)
    assert not InfiltrationTest.objects.exists()
