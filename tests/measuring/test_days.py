"""Runs of one day at one spot. Two runs, averaged by rate: ASTM C1701/C1701M, from memory."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measuring import Ended, Method, NoRate, RingReading, Run, compute_rate, day_result
from registry.units import System


def run(number: int, seconds: float, *, system=System.INCH_POUND, ended=Ended.DRAINED) -> Run:
    ring, water = (12.0, 40.0) if system is System.INCH_POUND else (300.0, 18.0)
    return Run(number, compute_rate(RingReading(system, Method.C1701, ended, ring, water, seconds)))


def test_two_runs_give_the_mean_of_the_rates_not_the_rate_of_the_mean_time():
    # 587.361 and 533.965 -> 560.663; the rate of the mean time would be 559.392
    day = day_result((run(1, 60), run(2, 66)))
    assert day.mm_h / 25.4 == pytest.approx(560.663, abs=5e-4)
    assert (day.sign, day.system, day.reason) == ("", System.INCH_POUND, "")


def test_one_run_is_its_own_result_bound_or_not():
    assert day_result((run(1, 60),)).mm_h / 25.4 == pytest.approx(587.361, abs=5e-4)
    stopped = day_result((run(1, 1800, ended=Ended.STOPPED),))
    assert (stopped.sign, stopped.mm_h / 25.4) == ("<", pytest.approx(19.58, abs=5e-3))


def test_a_bound_is_shown_beside_the_other_run_and_not_averaged():
    day = day_result((run(1, 60), run(2, 1800, ended=Ended.STOPPED)))
    assert day.mm_h is None
    assert [rate.sign for rate in day.shown] == ["", "<"]
    assert "bound" in day.reason
    assert day.observation is day.shown[0]


def test_a_third_run_is_looked_at_only():
    day = day_result((run(3, 30), run(1, 60), run(2, 66)))
    assert day.mm_h / 25.4 == pytest.approx(560.663, abs=5e-4)
    assert [(left.run.number, left.code) for left in day.left_out] == [(3, "third_run")]


def test_an_unusable_run_is_left_out_with_its_reason():
    spoiled = Run(2, NoRate("spoiled", "The run was spoiled."))
    doubted = Run(1, run(1, 60).result, usable=False)
    day = day_result((doubted, spoiled))
    assert day.mm_h is None
    assert day.observation is None
    assert [left.code for left in day.left_out] == ["looked_at", "spoiled"]


def test_a_third_run_does_not_take_the_place_of_a_spoiled_one():
    day = day_result((run(1, 60), Run(2, NoRate("spoiled", "Spoiled.")), run(3, 30)))
    assert day.mm_h / 25.4 == pytest.approx(587.361, abs=5e-4)
    assert [left.code for left in day.left_out] == ["spoiled", "third_run"]


def test_runs_of_two_systems_are_averaged_each_in_its_own_and_marked():
    day = day_result((run(1, 60), run(2, 60, system=System.SI)))
    assert day.mm_h == pytest.approx((587.3611 * 25.4 + 15278.887) / 2, rel=1e-6)
    assert day.system is None


def test_no_runs_give_no_result():
    assert day_result(()).mm_h is None


@given(st.lists(st.floats(10, 3000), min_size=1, max_size=2), st.permutations([0, 1]))
def test_the_mean_lies_between_its_runs_in_any_order(seconds, order):
    runs = [run(number + 1, t) for number, t in enumerate(seconds)]
    day = day_result(tuple(runs))
    rates = [r.result.mm_h for r in runs]
    assert min(rates) * (1 - 1e-12) <= day.mm_h <= max(rates) * (1 + 1e-12)
    assert day_result(tuple(runs[i] for i in order if i < len(runs))) == day
