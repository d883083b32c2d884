"""A fit of the model <-> what is stored of it: plain data, and words with what stands behind."""

from typing import Any

import numpy as np

from registry.decline.backtest import Backtest, Comparison
from registry.decline.estimates import (
    DRIVER_WORDS,
    DriverEstimate,
    Estimate,
    RecoveryEstimate,
    estimate_drivers,
    estimate_recoveries,
)
from registry.decline.faults import DeclineError
from registry.decline.fit import FitResult
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio
from registry.decline.residuals import Cells, against_age, against_fitted, cells_from
from registry.decline.written import parameters_from_plain
from registry.models import Fit


def parameters_of(fit: Fit) -> Parameters:
    """Return the parameters of a stored fit. Raises DeclineError where it has none."""
    if fit.parameters is None:
        raise DeclineError("This fit has no parameters.")
    return parameters_from_plain(fit.parameters)


def driver_effects(fit: FitResult, portfolio: Portfolio, level: float) -> list[dict[str, Any]]:
    """Return what each driver of clogging does; none where the fit did not converge."""
    if not fit.converged:
        return []
    return [_driver(found) for found in estimate_drivers(fit, portfolio, level)]


def recoveries(fit: FitResult, portfolio: Portfolio, level: float) -> list[dict[str, Any]]:
    """Return the recovery of each method; none where the fit did not converge."""
    if not fit.converged:
        return []
    return [_recovery(found) for found in estimate_recoveries(fit, portfolio, level)]


def _driver(found: DriverEstimate) -> dict[str, Any]:
    return {
        "name": found.name,
        "words": found.words,
        "per_year": _interval(found.gamma),
        "times": None if found.times is None else _interval(found.times),
        "places": found.places,
        "infiltration_tests": found.tests,
    }


def _recovery(found: RecoveryEstimate) -> dict[str, Any]:
    return {
        "name": found.name,
        "words": found.words,
        "share": _interval(found.share),
        "cleanings": found.cleanings,
        "pavements": found.pavements,
        "infiltration_tests": found.tests,
    }


def _interval(found: Estimate) -> dict[str, float | None]:
    """Return value and ends; None for an end that is not known, as where a number was fixed."""
    ends = {"value": found.value, "low": found.low, "high": found.high}
    return {name: finite(end) for name, end in ends.items()}


def residuals_as_plain(fit: FitResult) -> dict[str, Any] | None:
    """Return the residuals counted in cells, the same weight for any pool; None without a fit."""
    if fit.residuals is None or not fit.converged:
        return None
    found = fit.residuals
    return {
        "numbers": len(found.standardised),
        "bounds": found.bounds,
        "by_fitted": _cells(against_fitted(found)),
        "by_age": _cells(against_age(found)),
    }


def _cells(cells: Cells) -> dict[str, Any]:
    return {"low": cells.low, "high": cells.high, "counts": [list(c) for c in cells.counts]}


def cells_of(plain: dict[str, Any]) -> Cells:
    """Return cells as they were stored."""
    return cells_from(plain["counts"], plain["low"], plain["high"])


def backtest_as_plain(found: Backtest) -> dict[str, Any]:
    """Return a back-test as it is stored; None where there was nothing to compare.

    `message` says why nothing was foretold, "" where it was.
    """
    return {
        "message": found.fit.message,
        "pavements": found.pavements,
        "numbers": found.numbers,
        "bounds": found.bounds,
        "inside_80": finite(found.inside_80),
        "inside_95": finite(found.inside_95),
        "rmse": finite(found.rmse),
        "log_score": finite(found.log_score),
        "beside": [_comparison(one) for one in found.comparisons],
    }


def _comparison(found: Comparison) -> dict[str, Any]:
    numbers = ("rmse", "log_score", "model_rmse", "model_log_score")
    measured = {name: finite(getattr(found, name)) for name in numbers}
    return {"name": found.name, "numbers": found.numbers, **measured}


def finite(value: float) -> float | None:
    """Return a plain number, or None for what is not finite: such never reach the database."""
    return float(value) if np.isfinite(value) else None


def driver_word(name: str) -> str:
    """Return what a driver is called."""
    return DRIVER_WORDS[name]
