"""What must not change a fit, what must, and nonsense with a stated result."""

from dataclasses import replace

import numpy as np
import pytest

from registry.decline.faults import DeclineError
from registry.decline.fit import NOTHING, fit_decline
from registry.decline.objective import Objective
from registry.decline.options import FitOptions
from registry.decline.outlook import outlooks_of
from registry.decline.parameters import NAMES, PLACE, Parameters
from registry.decline.portfolio import gather_portfolio, select_pavements
from registry.decline.priors import PRIOR_MEANS, no_priors, published_priors
from registry.decline.records import Records, Runs
from registry.decline.simulate import SimulateOptions, simulate_records
from tests.decline.portfolios import (
    AS_OF,
    Run,
    hand_records,
    reference_fit,
    reference_gathered,
    reference_records,
    take,
)

TRUTH = Parameters(
    mu_a=8.4,
    mu_k=0.30,
    sd_a=0.6,
    sd_k=0.15,
    corr=0.3,
    tau_a=0.45,
    tau_k=0.10,
    sigma=0.25,
    recovery=np.array([0.12, 0.25, 0.40, 0.70]),
    drivers=np.array([0.12, 0.20, 0.10, 0.25]),
)


def simulated(pavements, seed, **options):
    rng = np.random.default_rng(seed)
    return simulate_records(pavements, TRUTH, SimulateOptions(AS_OF, **options), rng)


def fit_of(records, options=None):
    return fit_decline(gather_portfolio(records, AS_OF).portfolio, options)


def same_parameters(one, other, within=1e-3):
    """Equal to within a small part of a standard error."""
    errors = np.sqrt(np.diag(one.covariance))
    off = (one.parameters.vector() - other.parameters.vector()) / errors
    assert np.abs(off).max() < within


def half():
    """Every other pavement of the reference portfolio, some with one or two stopped tests."""
    portfolio = reference_gathered().portfolio
    return select_pavements(portfolio, np.arange(len(portfolio.ref)) % 2 == 0)


def shuffled(records, seed):
    """The same records, every table in another order."""
    rng = np.random.default_rng(seed)
    p, s, r, c = (
        rng.permutation(n)
        for n in (
            len(records.pavements.ref),
            len(records.spots.name),
            len(records.runs.spot),
            len(records.cleanings.method),
        )
    )
    pavement_now, spot_now = np.argsort(p), np.argsort(s)
    return Records(
        take(records.pavements, p),
        take(records.spots, s, pavement=pavement_now[records.spots.pavement[s]]),
        take(records.runs, r, spot=spot_now[records.runs.spot[r]]),
        take(records.cleanings, c, pavement=pavement_now[records.cleanings.pavement[c]]),
        records.skips,
    )


def test_the_order_of_rows_changes_not_one_bit():
    other = fit_of(shuffled(reference_records(), 3))
    assert other.parameters.vector().tolist() == reference_fit().parameters.vector().tolist()


def test_the_optimum_beats_its_neighbours():
    fit = reference_fit()
    free = np.ones(len(NAMES), bool)
    objective = Objective(reference_gathered().portfolio, published_priors(), free)
    errors, vector = np.sqrt(np.diag(fit.covariance)), fit.parameters.vector()
    top = objective.sharpened(vector).log_posterior
    for place in range(len(NAMES)):
        for sign in (-1, 1):
            away = vector.copy()
            away[place] += sign * 0.3 * errors[place]
            assert objective.sharpened(away).log_posterior < top, NAMES[place]


@pytest.mark.parametrize(
    "away",
    [
        {"mu_a": 7.0, "mu_k": 0.8, "sd_a": 1.5, "sd_k": 0.05, "tau_k": 0.3, "sigma": 0.6},
        {"mu_a": 1e5},
        {"sigma": 5000.0},
        {"recovery": np.array([1e-3, 0.999, 0.5, 0.5])},
    ],
)
def test_another_start_ends_in_the_same_place(away):
    start = Parameters(**{**vars(PRIOR_MEANS), **away})
    same_parameters(fit_decline(half()), fit_decline(half(), FitOptions(start=start)))


def test_pavements_without_tests_change_nothing_for_the_others():
    gathered = reference_gathered().portfolio
    tested = gathered.tests_of_pavements() > 0
    only = fit_decline(select_pavements(gathered, tested))
    assert only.parameters.vector().tolist() == reference_fit().parameters.vector().tolist()


def test_without_priors_a_portfolio_laid_beside_itself_leaves_the_parameters():
    records = simulated(60, 11)
    other = Records(
        replace(records.pavements, ref=np.char.add("Q", records.pavements.ref)),
        *(getattr(records, name) for name in ("spots", "runs", "cleanings", "skips")),
    )
    options = FitOptions(priors=no_priors())
    once, twice = fit_of(records, options), fit_of(laid_beside(records, other), options)
    assert once.converged and twice.converged, (once.message, twice.message)
    same_parameters(once, twice, within=2e-3)
    # Twice the tests: the errors shrink by the root of two.
    ratio = np.diag(once.covariance) / np.diag(twice.covariance)
    assert ratio == pytest.approx(np.full(len(NAMES), 2.0), rel=0.01)


def laid_beside(one, other):
    pavements, spots = len(one.pavements.ref), len(one.spots.name)
    assert not len(one.skips.spot)
    return Records(
        joined(one.pavements, other.pavements),
        joined(one.spots, replace(other.spots, pavement=other.spots.pavement + pavements)),
        joined(one.runs, replace(other.runs, spot=other.runs.spot + spots)),
        joined(
            one.cleanings, replace(other.cleanings, pavement=other.cleanings.pavement + pavements)
        ),
        one.skips,
    )


def joined(one, other):
    columns = {
        name: np.concatenate((column, vars(other)[name])) for name, column in vars(one).items()
    }
    return type(one)(**columns)


def test_rates_in_inches_only_move_the_mean_when_priors_are_off():
    records = simulated(40, 12)
    inches = replace(records, runs=replace(records.runs, mm_h=records.runs.mm_h / 25.4))
    options = FitOptions(priors=no_priors())
    one, other = fit_of(records, options), fit_of(inches, options)
    moved = {**vars(other.parameters), "mu_a": other.parameters.mu_a + np.log(25.4)}
    same_parameters(one, replace(other, parameters=Parameters(**moved)), within=2e-3)


def test_the_two_systems_constants_give_the_same_fit_but_for_rounding():
    # The two published constants differ by 0.0043 % (ASTM C1701/C1701M, from memory).
    runs = reference_records().runs
    other = replace(reference_records(), runs=replace(runs, mm_h=runs.mm_h * 0.999957))
    same_parameters(reference_fit(), fit_of(other), within=2e-3)


def test_fixed_parameters_stay_and_have_no_error():
    start = Parameters(**{**vars(PRIOR_MEANS), "sigma": 0.3})
    fit = fit_of(reference_records(), FitOptions(fixed=("sigma", "broom"), start=start))
    assert fit.converged, fit.message
    assert fit.parameters.sigma == pytest.approx(0.3)
    assert fit.parameters.recovery[0] == pytest.approx(0.15)
    assert fit.covariance[PLACE["sigma"], PLACE["sigma"]] == 0


def test_a_large_pool_fitted_from_a_sample_ends_where_it_would_without():
    # Samples of 4 and of 40 pavements on the way.
    records = simulated(90, 13)
    whole = fit_of(records, FitOptions(sample_pavements=90))
    sampled = fit_of(records, FitOptions(sample_pavements=4))
    same_parameters(whole, sampled)


def nonsense():
    first, spot = "2024-05-01T09:00", "P/T1"
    one_day = [Run(f"P{n}/T1", first, 300.0 + 100 * n) for n in range(4)]
    stopped = [Run(f"P/T{n}", f"202{y}-05-01T09:00", 150.0, -1) for n in (1, 2) for y in (2, 3, 4)]
    fast = [Run(f"P/T{n}", first, 60_000.0, 1) for n in (1, 2, 3)]
    forty = [
        ("P", f"2023-{1 + n // 4:02d}-{1 + 7 * (n % 4):02d}T10:00", "broom") for n in range(40)
    ]
    placed = {"P": "2020-01-01"}
    return {
        "one pavement, one test": hand_records(placed, [Run(spot, first, 900.0)]),
        "all tests stopped": hand_records(placed, stopped),
        "all tests too fast": hand_records(placed, fast),
        "all on one day": hand_records({f"P{n}": "2020-01-01" for n in range(4)}, one_day),
        "a rate of a million": hand_records(
            placed, [Run(spot, first, 1e6), Run("P/T2", first, 9.0)]
        ),
        "a rate of almost nothing": hand_records(placed, [Run(spot, first, 1e-3)]),
        "40 cleanings in a year": hand_records(placed, [Run(spot, first, 900.0)], forty),
        "placed the day of the test": hand_records({"P": "2024-05-01"}, [Run(spot, first, 900.0)]),
    }


@pytest.mark.parametrize("name", nonsense())
def test_nonsense_gives_a_stated_result(name):
    portfolio = gather_portfolio(nonsense()[name], AS_OF).portfolio
    fit = fit_decline(portfolio)
    assert fit.converged, fit.message
    outlooks = outlooks_of(portfolio, fit.parameters)
    assert np.isfinite(outlooks.rates.rate).all()
    assert np.isfinite(outlooks.p_below).all()
    assert all(check.holds for check in fit.checks if check.name != "residuals_beyond_2")


@pytest.mark.parametrize(
    "records",
    [
        hand_records({"P": "2020-01-01"}, []),
        hand_records({"P": "2025-01-01"}, [Run("P/T1", "2024-05-01T09:00", 900.0)]),
        hand_records({"P": "2020-01-01"}, [Run("P/T1", "2024-05-01T09:00", 900.0, left_out=1)]),
    ],
    ids=["no tests", "placed after the test", "only after rain"],
)
def test_nothing_to_fit_is_said(records):
    fit = fit_of(records)
    assert not fit.converged
    assert fit.message == NOTHING
    assert fit.parameters is None


def test_parameters_that_cannot_be_told_apart_do_not_converge():
    # Without priors one test cannot give sixteen parameters.
    records = hand_records({"P": "2020-01-01"}, [Run("P/T1", "2024-05-01T09:00", 900.0)])
    fit = fit_of(records, FitOptions(priors=no_priors()))
    assert not fit.converged
    assert fit.message
    assert not next(check for check in fit.checks if check.name == "converged").holds


def test_too_few_steps_are_said():
    fit = fit_of(simulated(10, 14), FitOptions(tolerance=1e-30, most_steps=1))
    assert not fit.converged
    assert "did not come to rest" in fit.message


@pytest.mark.parametrize(
    "options",
    [
        {"fixed": ("mu",)},
        {"sample_pavements": 0},
        {"tolerance": 0.0},
        {"level": 1.0},
        {"start": Parameters(**{**vars(PRIOR_MEANS), "tau_a": 0.0})},
    ],
)
def test_options_without_sense_are_refused(options):
    with pytest.raises(DeclineError):
        FitOptions(**options)


@pytest.mark.parametrize("mm_h", [0.0, -5.0, np.nan, np.inf])
def test_a_rate_that_is_no_rate_is_refused(mm_h):
    with pytest.raises(DeclineError, match="above 0"):
        hand_records({"P": "2020-01-01"}, [Run("P/T1", "2024-05-01T09:00", mm_h)])


def test_two_pavements_of_one_ref_are_refused():
    one = reference_records()
    same = replace(one.pavements, ref=np.full(len(one.pavements.ref), "P1"))
    with pytest.raises(DeclineError, match="same ref"):
        replace(one, pavements=same)


def test_a_run_at_a_spot_that_is_not_there_is_refused():
    one = reference_records()
    runs = Runs(**{**vars(one.runs), "spot": one.runs.spot + 1})
    with pytest.raises(DeclineError, match="spot of a run"):
        replace(one, runs=runs)


@pytest.mark.slow
def test_parameters_of_20_000_simulated_pavements_are_recovered_within_3_errors():
    fit = fit_of(simulated(20_000, 20))
    assert fit.converged, fit.message
    errors = np.sqrt(np.diag(fit.covariance))
    off = (fit.parameters.vector() - TRUTH.vector()) / errors
    assert dict(zip(NAMES, np.abs(off) < 3, strict=True)) == dict.fromkeys(NAMES, True)
