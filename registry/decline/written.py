"""Fits and outlooks as plain values that JSON can hold, and parameters read back.

The outlook file: log_posterior, log_likelihood, parameters (scalars by name, `recovery` by method,
`drivers` by name), and `pavements` by ref, each with effective_age, a, k, sd_a, sd_k, rate, low,
high, p_below, sweep_by, `points` (the tested spots by name, with the same but effective_age) and
pavement_sweep_by. Days are ISO dates, or null for none within the years searched. A number that
may not be given is null, and `not_decided` then says why.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from registry.decline.faults import DeclineError
from registry.decline.fit import FitResult
from registry.decline.options import FitOptions
from registry.decline.outlook import Outlooks
from registry.decline.parameters import NAMES, SCALARS, Parameters
from registry.decline.records import DRIVERS, METHODS, Floats

Plain = dict[str, Any]


def parameters_as_plain(parameters: Parameters) -> Plain:
    return {
        **{name: getattr(parameters, name) for name in SCALARS},
        "recovery": dict(zip(METHODS, parameters.recovery.tolist(), strict=True)),
        "drivers": dict(zip(DRIVERS, parameters.drivers.tolist(), strict=True)),
    }


def parameters_from_plain(plain: Mapping[str, Any]) -> Parameters:
    """Raises DeclineError where one is missing or impossible."""
    try:
        return Parameters(
            **{name: float(plain[name]) for name in SCALARS},
            recovery=np.array([float(plain["recovery"][name]) for name in METHODS]),
            drivers=np.array([float(plain["drivers"][name]) for name in DRIVERS]),
        )
    except KeyError as missing:
        raise DeclineError(f"The parameters of this fit lack {missing.args[0]}.") from missing


def options_as_plain(options: FitOptions) -> Plain:
    """All that decides a fit beside its records; infinite standard deviations as None."""
    return {
        "priors": {
            name: {"mean": mean, "sd": sd if np.isfinite(sd) else None}
            for name, mean, sd in zip(
                NAMES, options.priors.mean.tolist(), options.priors.sd.tolist(), strict=True
            )
        },
        "fixed": sorted(options.fixed),
        "start": parameters_as_plain(options.start),
        "sample_pavements": options.sample_pavements,
        "tolerance": options.tolerance,
        "site_tolerance": options.site_tolerance,
        "most_steps": options.most_steps,
        "level": options.level,
    }


def covariance_as_plain(covariance: Floats) -> Plain:
    return {"names": list(NAMES), "rows": covariance.tolist()}


def covariance_from_plain(plain: Mapping[str, Any]) -> Floats:
    if tuple(plain["names"]) != NAMES:
        raise DeclineError("The covariance of this fit is of other parameters.")
    return np.array(plain["rows"], float)


def outlooks_as_plain(
    outlooks: Outlooks, fit: FitResult, keys: Sequence[str] | None = None
) -> Plain:
    """The outlook file of one pool; keys name its pavements where refs would collide."""
    names = outlooks.portfolio.ref.tolist() if keys is None else list(keys)
    return {
        "log_posterior": _number(fit.log_posterior),
        "log_likelihood": _number(fit.log_likelihood),
        "parameters": None if fit.parameters is None else parameters_as_plain(fit.parameters),
        "pavements": {
            name: pavement_as_plain(outlooks, number) for number, name in enumerate(names)
        },
    }


def pavement_as_plain(outlooks: Outlooks, pavement: int) -> Plain:
    """One pavement of the outlook file."""
    portfolio = outlooks.portfolio
    pavements = len(portfolio.ref)
    low, high = np.searchsorted(portfolio.spot_pavement, [pavement, pavement + 1])
    tested = [s for s in range(low, high) if outlooks.places.tests[pavements + s]]
    return {
        "effective_age": _number(outlooks.places.age[pavement]),
        **place_as_plain(outlooks, pavement),
        "points": {
            str(portfolio.spot_name[s]): place_as_plain(outlooks, pavements + s) for s in tested
        },
        "pavement_sweep_by": _day(outlooks.pavement_sweep_by[pavement]),
    }


def place_as_plain(outlooks: Outlooks, place: int) -> Plain:
    joint, rates = outlooks.places.joint, outlooks.rates
    plain = {
        "a": _number(joint.a[place]),
        "k": _number(joint.k[place]),
        "sd_a": _number(np.sqrt(joint.aa[place])),
        "sd_k": _number(np.sqrt(joint.kk[place])),
        "rate": _number(rates.rate[place]),
        "low": _number(rates.low[place]),
        "high": _number(rates.high[place]),
        "p_below": _number(outlooks.p_below[place]),
        "sweep_by": _day(outlooks.sweep_by[place]),
    }
    reason = outlooks.why_not(place)
    return {**plain, "not_decided": reason} if reason else plain


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _day(day: np.datetime64) -> str | None:
    return None if np.isnat(day) else str(day)
