"""The condition of a pavement from its rows, through the real actions."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from registry.actions.record_cleaning import record_cleaning
from registry.actions.record_infiltration_test import record_infiltration_test
from registry.gathering.condition import condition_of
from registry.models import Cleaning, InfiltrationTest, PavementStanding
from tests import factories

ZONE = ZoneInfo("America/New_York")
TODAY = date(2026, 10, 15)


@pytest.fixture
def pavement(db):
    row = factories.PavementFactory(placed_on=date(2022, 8, 30))
    factories.CriteriaFactory(pavement=row, action_rate_mm_h=13.6 * 25.4)
    return row


@pytest.fixture
def spot(pavement):
    return factories.SpotFactory(pavement=pavement, name="U", stratum="run_on_edge")


def run(spot, day, *, water=8.0, seconds, prewet=60.0, dry="no", reason="", clock=None, **fields):
    at = None
    if clock is not None:
        at = datetime.fromisoformat(f"{day}T{clock}").replace(tzinfo=ZONE)
    row = InfiltrationTest(
        pavement=spot.pavement,
        spot=spot,
        method="c1701",
        started_on=date.fromisoformat(day),
        started_at=at,
        system="inch_pound",
        ring=fields.pop("ring", 12.02),
        water=water,
        seconds=seconds,
        prewet_seconds=prewet,
        prewet_water=8.0,
        ended=fields.pop("ended", "drained"),
        rain_within_24_h=dry,
        reason=reason,
        stratum=spot.stratum,
        **fields,
    )
    return record_infiltration_test(row, by=None, organisation=None)


def wash(pavement, day, **fields):
    row = Cleaning(
        pavement=pavement,
        done_on=date.fromisoformat(day),
        method="wash_and_vacuum",
        is_restorative=True,
        **fields,
    )
    return record_cleaning(row, by=None, organisation=None)


def word(pavement, today=TODAY):
    return condition_of(pavement, viewpoint="holder", today=today).word


def test_low_reading_before_a_wash_gives_way_to_the_reading_after_it(pavement, spot):
    run(spot, "2026-07-21", water=7.99, seconds=584.7)
    assert word(pavement).word == "clean"
    wash(pavement, "2026-09-15")
    assert word(pavement).word == "clean", "a wash that nobody tested after takes nothing away"
    run(spot, "2026-09-22", water=7.99, seconds=73.1, reason="after_cleaning")
    found = word(pavement)
    assert found.word == "working"
    assert round(found.mm_h / 25.4) == 96
    assert (found.spot, found.on) == ("U", date(2026, 9, 22))


def test_stopped_run_is_a_bound_and_never_a_number(pavement, spot):
    row = run(spot, "2026-05-19", water=8.01, seconds=1800.0, ended="stopped", ring=12.05)
    assert (row.use, row.result_sign) == ("bound", "<")
    assert row.result_value == pytest.approx(3.9, abs=0.05)
    assert word(pavement).word == "clean"


def test_wet_day_run_is_kept_and_decides_nothing_good(pavement, spot):
    row = run(spot, "2026-05-19", seconds=60.0, dry="yes")
    assert (row.use, row.use_code) == ("looked_at", "wet_day")
    assert word(pavement).word == "not_decided"


def test_standing_follows_every_write(pavement, spot):
    run(spot, "2026-05-19", seconds=60.0)
    stored = PavementStanding.objects.get(pavement=pavement, viewpoint="holder")
    assert stored.lowest_spot == "U"
    assert stored.action_rate_mm_h == pytest.approx(13.6 * 25.4)
    town = PavementStanding.objects.get(pavement=pavement, viewpoint="town")
    assert town.word == "not_decided", "nothing was submitted to the town"


def test_older_test_typed_in_later_changes_what_is_said_of_the_younger(pavement, spot):
    young = run(spot, "2023-05-18", water=40.0, seconds=87.8, prewet=16.2, clock="09:30")
    assert young.use == "trend"
    run(spot, "2023-05-17", water=39.95, seconds=76.7, prewet=14.2, clock="15:10")
    young.refresh_from_db()
    assert (young.use, young.use_code) == ("looked_at", "under_24_h")


def test_pavement_without_criteria_is_not_decided_and_says_why(db):
    row = factories.PavementFactory()
    spot = factories.SpotFactory(pavement=row, name="U", stratum="field")
    run(spot, "2026-05-19", seconds=60.0)
    found = word(row)
    assert found.word == "not_decided"
    assert "criteria" in found.rule
