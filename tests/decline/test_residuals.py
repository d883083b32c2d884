"""What a fit leaves over, and counting it in cells of bounded number."""

from dataclasses import replace

import numpy as np
import pytest

from registry.decline.residuals import (
    COLUMNS,
    FURTHEST,
    ROWS,
    Residuals,
    against_age,
    against_fitted,
    cells_from,
)
from tests.decline.portfolios import reference_fit, reference_gathered, reference_outlooks


def test_every_number_has_one_and_bounds_are_counted():
    residuals, sign = reference_fit().residuals, reference_gathered().portfolio.sign
    assert len(residuals.standardised) == np.count_nonzero(sign == 0)
    assert residuals.bounds == np.count_nonzero(sign)


def test_they_are_number_less_fitted_over_what_is_left_of_sigma():
    # Var(y - E f) = sigma^2 - Var f, from the joint normal of each spot that outlooks show.
    portfolio, fit = reference_gathered().portfolio, reference_fit()
    joint, residuals = reference_outlooks().places.joint, fit.residuals
    bounded = np.zeros(len(portfolio.ref), bool)
    bounded[portfolio.observed_pavement[portfolio.sign != 0]] = True
    row = np.flatnonzero(portfolio.sign == 0)
    free = ~bounded[portfolio.observed_pavement[row]]
    row, age = row[free], residuals.age[free]
    place = len(portfolio.ref) + portfolio.spot[row]
    fitted = joint.a[place] - age * joint.k[place]
    variance = joint.aa[place] - 2 * age * joint.ak[place] + age**2 * joint.kk[place]
    left = np.sqrt(fit.parameters.sigma**2 - variance)
    assert residuals.fitted[free] == pytest.approx(fitted, abs=1e-6)
    found = residuals.standardised[free]
    assert found == pytest.approx((portfolio.ln_rate[row] - fitted) / left, abs=1e-5)


def test_on_the_reference_portfolio_they_look_standard_normal():
    found = reference_fit().residuals.standardised
    assert abs(found.mean()) < 0.15
    assert found.std() == pytest.approx(1.0, abs=0.1)


def many(count):
    rng = np.random.default_rng(5)
    return Residuals(rng.normal(6, 1, count), rng.gamma(2, 2, count), rng.normal(0, 1, count), 0)


@pytest.mark.parametrize("counted", [against_fitted, against_age])
def test_cells_count_every_test_and_are_never_more_than_the_grid(counted):
    cells = counted(many(100_000))
    assert sum(count for *_, count in cells.counts) == 100_000
    assert len(cells.counts) <= COLUMNS * ROWS
    assert all(0 <= c < COLUMNS and 0 <= r < ROWS for c, r, _ in cells.counts)


def test_far_ones_stand_in_the_outermost_rows():
    one = Residuals(np.array([6.0, 7.0]), np.ones(2), np.array([-90.0, 90.0]), 0)
    rows = [row for _, row, _ in against_fitted(one).counts]
    assert rows == [0, ROWS - 1]
    step = 2 * FURTHEST / ROWS
    middle = replace(one, standardised=np.array([step / 2, -step / 2]))
    assert [row for _, row, _ in against_fitted(middle).counts] == [ROWS // 2, ROWS // 2 - 1]


def test_what_is_not_finite_is_not_counted_and_nothing_makes_empty_cells():
    odd = Residuals(np.array([np.nan]), np.array([1.0]), np.array([np.inf]), 3)
    assert against_fitted(odd).counts == ()


def test_cells_come_back_as_they_were_stored():
    cells = against_age(many(50))
    again = cells_from([list(c) for c in cells.counts], cells.low, cells.high)
    assert again == cells
