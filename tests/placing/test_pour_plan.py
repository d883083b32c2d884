"""The plan of a placing day (C1): worked by hand on a lane of 132 ft and a straight forecast."""

import itertools
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import (
    NO_BLEED,
    PLAIN,
    DryingWeather,
    ForecastHour,
    NotGiven,
    PlacingError,
    Strip,
    pour_plan,
    when_passes,
)
from registry.units import System
from tests.placing.dispute import FOOT_M, SITE, spreads
from tests.placing.test_spacing import placing

START = datetime(2023, 8, 22, 6, 0, tzinfo=SITE)
LANE_A = Strip("A", 0, 132 * FOOT_M)
LANE_C = Strip("C", 0, 132 * FOOT_M)
FAST = placing(wasted=1 / 31.5, speed_m_min=30.5 / 20 * FOOT_M)  # 30.5 ft in 20 min a load


def hour(clock: int, wind: float) -> ForecastHour:
    """Air and concrete 80 degF, 50 %: E = 0.0286 (1 + 0.4 V) lb/ft2/h (80^2.5 = 57 243)."""
    return ForecastHour(
        START.replace(hour=clock), DryingWeather(System.INCH_POUND, 80, 80, 50, wind)
    )


RISING = [hour(6, 2), hour(9, 4), hour(10, 8), hour(11, 10)]


def plan(*, strips=(LANE_A, LANE_C), forecast=RISING, limit=NO_BLEED, cover_min=20.0):
    return pour_plan(strips, FAST, START, cover_min=cover_min, forecast=forecast, limit=limit)


def test_loads_run_on_from_lane_to_lane_like_those_of_the_dispute():
    """Loads 1 to 9 of table 1C: A 0-30.5 ... A 122-132 and C 0-20.5 ... C 112-132."""
    wanted = [
        (s.load, s.lane, round(s.from_m / FOOT_M, 3), round(s.to_m / FOOT_M, 3))
        for s in spreads()
        if s.lane in "AC"
    ]
    found = [
        (str(one.number), s.lane, round(s.from_m / FOOT_M, 3), round(s.to_m / FOOT_M, 3))
        for one in plan().loads
        for s in one.strips
    ]
    assert found == wanted


def test_loads_follow_each_other_by_the_spacing_and_the_last_is_a_part_load():
    loads = plan().loads
    assert [one.discharge_at - START for one in loads[:3]] == [
        timedelta(0), timedelta(minutes=20), timedelta(minutes=40)
    ]  # fmt: skip
    assert loads[0].covered_by - loads[0].placed_at == timedelta(minutes=20)
    assert loads[-1].m3 / loads[0].m3 == pytest.approx(20 / 30.5)


def test_evaporation_passes_between_two_hours_where_the_line_crosses():
    """0.1 lb/ft2/h needs V = (0.1/0.028622 - 1)/0.4 = 6.235 mph: 56 % of the way from 4 to 8."""
    passes = when_passes(RISING, NO_BLEED)
    assert (passes - START).total_seconds() / 3600 == pytest.approx(3 + 0.5587, abs=5e-4)


def test_latest_start_and_stop_rule_worked_by_hand():
    """Nine loads of 20 min, the last 20/30.5 of one, and 20 min to cover: 193.1 min in all.

    Passing at 09:33:31; less 193.1 min is 06:20; less one load and its cover, 40 min, is 08:53.
    """
    found = plan()
    assert f"{found.passes_at:%H:%M}" == "09:33"
    assert f"{found.latest_start:%H:%M}" == "06:20"
    assert found.stop_words == "After 08:53 no further load."
    assert found.late == ()


def test_a_start_that_is_too_late_names_the_loads_that_are():
    late = pour_plan(
        [LANE_A, LANE_C], FAST, START + timedelta(hours=1), cover_min=20, forecast=RISING,
        limit=NO_BLEED,
    )  # fmt: skip
    assert late.late == (7, 8, 9)


def test_a_day_that_stays_cool_has_no_stop_rule_and_says_until_when():
    found = plan(limit=PLAIN)
    words = "Evaporation stays within the limit for plain concrete until 11:00."
    assert found.stop_words == words
    assert found.latest_start == NotGiven(words)


def test_a_day_that_begins_over_the_limit_passes_at_its_first_hour():
    assert when_passes([hour(9, 20)], NO_BLEED) == START.replace(hour=9)


def test_a_forecast_that_misses_a_reading_says_which_hour():
    broken = ForecastHour(START, DryingWeather(System.INCH_POUND, 80, 80, None, 4))
    found = when_passes([broken], NO_BLEED)
    assert found == NotGiven("Forecast for 06:00: No evaporation without humidity.")
    assert "no forecast" in when_passes([], NO_BLEED).reason


@pytest.mark.parametrize("wrong", [{"strips": ()}, {"cover_min": -1}])
def test_a_plan_without_lanes_or_with_a_cover_before_the_concrete_is_refused(wrong):
    with pytest.raises(PlacingError):
        plan(**wrong)


def test_a_strip_that_runs_backwards_is_refused():
    with pytest.raises(PlacingError):
        Strip("A", 5, 5)


def test_a_start_without_a_time_zone_is_refused():
    with pytest.raises(PlacingError, match="time zone"):
        pour_plan(
            [LANE_A], FAST, datetime(2023, 8, 22, 6), cover_min=20, forecast=[], limit=NO_BLEED
        )


@given(st.lists(st.floats(0.5, 60), min_size=1, max_size=4))
def test_the_loads_fill_the_strips_whole_and_in_order(lengths):
    strips = [Strip(lane, 0, length) for lane, length in zip("ABCD", lengths, strict=False)]
    loads = plan(strips=strips).loads
    for one in strips:
        parts = [s for load in loads for s in load.strips if s.lane == one.lane]
        assert parts[0].from_m == 0
        assert parts[-1].to_m == pytest.approx(one.to_m)
        ends = [(a.to_m, b.from_m) for a, b in itertools.pairwise(parts)]
        assert all(end == pytest.approx(begin) for end, begin in ends)
    filled = sum(s.to_m - s.from_m for load in loads for s in load.strips)
    assert filled == pytest.approx(sum(lengths))
    assert all(load.m3 <= FAST.load_m3 + 1e-9 for load in loads)
