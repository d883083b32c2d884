"""Invented portfolios are what was asked for."""

import numpy as np
import pytest

from registry.decline.faults import DeclineError
from registry.decline.portfolio import gather_portfolio
from registry.decline.simulate import SimulateOptions, simulate_records
from tests.decline.portfolios import AS_OF
from tests.decline.test_fit import TRUTH


def simulated(seed=1, pavements=400, **options):
    rng = np.random.default_rng(seed)
    return simulate_records(pavements, TRUTH, SimulateOptions(AS_OF, **options), rng)


def test_the_same_seed_gives_the_same_records():
    one, same, other = simulated(), simulated(), simulated(seed=2)
    assert one.runs.mm_h.tolist() == same.runs.mm_h.tolist()
    assert one.runs.mm_h.tolist() != other.runs.mm_h.tolist()


@pytest.mark.parametrize("options", [{}, {"ages": (0.05, 0.1), "visits": (4, 8)}])
def test_every_run_is_an_observation(options):
    records = simulated(**options)
    gathered = gather_portfolio(records, AS_OF)
    assert not gathered.left_out.run.any()
    assert len(gathered.portfolio.spot) == len(records.runs.spot)


def test_slow_runs_are_stopped_and_fast_ones_hold_no_head():
    runs = simulated(stopped_mm_h=400.0, too_fast_mm_h=5_000.0).runs
    assert (runs.mm_h[runs.sign < 0] == pytest.approx(400.0)) and (runs.sign < 0).any()
    assert (runs.mm_h[runs.sign > 0] == pytest.approx(5_000.0)) and (runs.sign > 0).any()
    between = runs.mm_h[runs.sign == 0]
    assert between.min() >= 400.0 and between.max() <= 5_000.0


def test_rates_fall_as_the_model_says():
    # New surfaces: the mean of ln I is mu_a.
    runs = simulated(ages=(1.0, 1.1), cleanings_a_year=0.0, pavements=3_000, driver_share=0.0).runs
    age = 0.5
    mean = TRUTH.mu_a - age * (TRUTH.mu_k + TRUTH.drivers[0] / 6)
    assert np.log(runs.mm_h).mean() == pytest.approx(mean, abs=0.03)


def test_no_pavements_or_spots_are_refused():
    with pytest.raises(DeclineError):
        simulated(pavements=0)
    with pytest.raises(DeclineError):
        SimulateOptions(AS_OF, spots=(0, 3))
