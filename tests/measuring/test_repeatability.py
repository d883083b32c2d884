"""Two runs at one spot. 4.7 % and its use: from memory of ASTM C1701/C1701M; 2.8: ASTM E177."""

from datetime import date
from math import inf, nan, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from registry.measuring import (
    Ended,
    InvalidSample,
    Method,
    RingReading,
    Surroundings,
    agree,
    compute_rate,
    difference_of_runs,
    find_doubts,
)
from registry.measuring.repeatability import LIMIT
from registry.units import System

US, SI = System.INCH_POUND, System.SI


def second(seconds: float, first_mm_h: float | None, run: int = 2, **changes):
    """The codes of the doubts about a run of 40 lb after another run of the same day."""
    reading = RingReading(US, Method.C1701, Ended.DRAINED, 12.0, 40.0, seconds)
    around = Surroundings(
        date(2024, 5, 1), run=run, rain_within_24h=False, first_run_mm_h=first_mm_h, **changes
    )
    return {doubt.code for doubt in find_doubts(reading, around)}


def rate(seconds: float) -> float:
    return compute_rate(RingReading(US, Method.C1701, Ended.DRAINED, 12.0, 40.0, seconds)).mm_h


def test_worked_pair_differs_by_9_52_percent_and_agrees():
    # 587.361 and 533.965 in/h: 53.396 / 560.663
    assert 100 * difference_of_runs(587.361, 533.965) == pytest.approx(9.52, abs=5e-3)
    assert agree(587.361, 533.965)


def test_limit_is_13_2_percent_and_that_of_the_normal_distribution():
    assert pytest.approx(13.2, abs=0.05) == 100 * LIMIT
    # 1.96 sqrt 2 = 2.77, which E177 rounds to 2.8
    assert pytest.approx(stats.norm.ppf(0.975) * sqrt(2) * 0.047, rel=0.02) == LIMIT


@pytest.mark.parametrize(
    ("one", "other", "is_within"),
    [
        (100.0, 100.0, True),
        (106.57, 93.43, True),  # 13.14 % of 100
        (106.59, 93.41, False),  # 13.18 %
        (93.41, 106.59, False),
        (15_278.887, 13_889.897, True),  # 18 kg in 60 and 66 s, mm/h
        (15_278.887, 12_732.406, False),  # 60 and 72 s: 18.2 %
    ],
)
def test_pairs_about_the_limit(one: float, other: float, is_within: bool):
    assert agree(one, other) is is_within


@pytest.mark.parametrize("pair", [(0, 10), (10, 0), (-1, 10), (nan, 10), (10, inf)])
def test_rates_that_cannot_be_are_not_compared(pair):
    with pytest.raises(InvalidSample):
        difference_of_runs(*pair)


def test_runs_too_far_apart_are_asked_about_and_kept():
    assert "runs_differ" not in second(66.0, rate(60.0))
    assert "runs_differ" in second(72.0, rate(60.0))
    [doubt] = (
        d
        for d in find_doubts(
            RingReading(US, Method.C1701, Ended.DRAINED, 12.0, 40.0, 72.0),
            Surroundings(date(2024, 5, 1), run=2, first_run_mm_h=rate(60.0)),
        )
        if d.code == "runs_differ"
    )
    assert "differ by 18.2 % of their mean" in doubt.message
    assert not (doubt.blocks_trend or doubt.blocks_acceptance)


def test_nothing_is_compared_with_a_bound_with_no_run_or_on_another_run():
    assert "runs_differ" not in second(72.0, None)
    assert "runs_differ" not in second(72.0, rate(60.0), run=1)
    stopped = RingReading(US, Method.C1701, Ended.STOPPED, 12.0, 40.0, 1800.0)
    around = Surroundings(date(2024, 5, 1), run=2, first_run_mm_h=rate(60.0))
    assert "runs_differ" not in {d.code for d in find_doubts(stopped, around)}


RATE = st.floats(1, 1e5)


@given(RATE, RATE, st.floats(0.01, 100))
def test_order_and_unit_change_nothing(one: float, other: float, factor: float):
    share = difference_of_runs(one, other)
    assert share == difference_of_runs(other, one)
    assert share == pytest.approx(difference_of_runs(one * factor, other * factor), abs=1e-12)
    assert 0 <= share < 2
