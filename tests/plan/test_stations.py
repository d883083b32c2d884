import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.plan import Baseline, OffsetFrom, PlaceError, PlanError
from tests.plan.layouts import FT, walk


def test_straight_path_from_the_center():
    path = Baseline(((0.0, 0.0), (0.0, 90.0)), OffsetFrom.CENTER, 3.0)
    assert path.to_plan(42.5, -0.9) == pytest.approx((0.6, 42.5))  # left of center
    assert path.to_station(0.6, 42.5) == pytest.approx((42.5, -0.9))


def test_offset_counts_from_the_left_edge_where_the_plan_says_so():
    path = Baseline(((0.0, 0.0), (0.0, 90.0)), OffsetFrom.LEFT_EDGE, 3.0)
    assert path.to_plan(42.5, 0.9) == pytest.approx((0.9, 42.5))


def test_offset_is_square_to_the_edge_away_from_bends():
    path = walk().baseline
    station = 50 * FT
    assert path.to_plan(station, 2 * FT) == pytest.approx((7 * FT, station))


def test_station_runs_along_the_left_edge_round_a_bend():
    path = walk().baseline
    bend = (100 + math.hypot(60, 100)) * FT
    left_edge = path.to_plan(bend, -5 * FT)
    assert left_edge == pytest.approx((60 * FT, 200 * FT))


def test_half_angle_line_at_a_bend():
    # Left edge turns 90 degrees left: outside it the corner line runs at 45 degrees.
    path = Baseline(((0.0, 0.0), (0.0, 10.0), (-10.0, 10.0)), OffsetFrom.LEFT_EDGE, 2.0)
    assert path.to_plan(10.0, 2.0) == pytest.approx((2.0, 12.0))


@settings(max_examples=400, deadline=None)
@given(
    share=st.floats(0.0, 1.0, allow_nan=False),
    offset_ft=st.floats(-5.0, 5.0, allow_nan=False),
)
def test_every_station_and_offset_comes_back_from_the_plan(share, offset_ft):
    path = walk().baseline
    station, offset = share * path.length_m, offset_ft * FT
    found = path.to_station(*path.to_plan(station, offset))
    assert found == pytest.approx((station, offset), abs=1e-5)


def test_fine_curve_comes_back_too():
    points = tuple(
        (20 - 20 * math.cos(math.radians(turn)), 20 * math.sin(math.radians(turn)))
        for turn in range(0, 91, 5)
    )
    path = Baseline(points, OffsetFrom.CENTER, 3.0)
    for step in range(200):
        station = path.length_m * step / 199
        for offset in (-1.5, -0.2, 0.0, 1.5):
            found = path.to_station(*path.to_plan(station, offset))
            assert found == pytest.approx((station, offset), abs=1e-5)


def test_beyond_the_end_there_is_no_station():
    with pytest.raises(PlaceError, match="past the end"):
        walk().baseline.to_station(60 * FT, 400 * FT)


def test_bend_tighter_than_the_path_is_wide_is_refused():
    with pytest.raises(PlanError, match="tighter"):
        Baseline(((0.0, 0.0), (0.0, 2.0), (2.0, 2.0)), OffsetFrom.LEFT_EDGE, 3.0)


def test_center_needs_a_width():
    with pytest.raises(PlanError, match="width"):
        Baseline(((0.0, 0.0), (0.0, 2.0)), OffsetFrom.CENTER)
