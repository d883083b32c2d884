"""Does it foretell? Each pavement's newest visit is left out, foretold from the rest, and compared.

Beside it stand what anybody would do: carry the spot's last number forward, and draw a straight
line of ln I against time through each pavement's numbers. Each of those is given a normal error of
its own root-mean-square size, which is the best it can hope for, so that log scores compare.
"""

from dataclasses import dataclass, replace

import numpy as np

from registry.decline.ages import walk_ages
from registry.decline.blocks import block_of
from registry.decline.faults import DeclineError
from registry.decline.fit import FitResult, fit_decline
from registry.decline.likelihood import LN_2PI
from registry.decline.options import FitOptions
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio
from registry.decline.posterior import places_of
from registry.decline.records import Bools, Floats
from registry.decline.truncated import Level, chance_below, level_at, log_density, quantile


@dataclass(frozen=True)
class Comparison:
    """A simple way and the model, on the numbers for which the simple way says anything at all."""

    name: str
    numbers: int
    rmse: float
    log_score: float
    model_rmse: float
    model_log_score: float


@dataclass(frozen=True, eq=False)
class Backtest:
    """How well the newest visits were foretold. Rates are compared in ln I.

    fit            of what was left; nothing below is given unless it converged
    pavements, numbers, bounds   visits foretold, and what they hold
    inside_80, inside_95   shares of the numbers inside the intervals of that level
    rmse           root mean square of number less median
    log_score      mean log density of numbers and log probability of bounds
    """

    fit: FitResult
    pavements: int
    numbers: int
    bounds: int
    inside_80: float
    inside_95: float
    rmse: float
    log_score: float
    comparisons: tuple[Comparison, ...]


def backtest(portfolio: Portfolio, options: FitOptions | None = None) -> Backtest:
    """Fit without the newest visit of each pavement, and foretell it."""
    if not len(portfolio.spot):
        raise DeclineError("There is no usable infiltration test to foretell.")
    newest = newest_visits(portfolio)
    rest = keep_observations(portfolio, ~newest)
    fit = fit_decline(rest, options)
    if not fit.converged or fit.parameters is None:
        nan = float("nan")
        return Backtest(fit, 0, 0, 0, nan, nan, nan, nan, ())
    held = keep_observations(portfolio, newest)
    foretold = predictions(rest, held, fit.parameters)
    number = held.sign == 0
    chance = chance_below(foretold, held.ln_rate)
    score = np.where(
        number,
        log_density(foretold, held.ln_rate),
        np.log(np.maximum(np.where(held.sign < 0, chance, 1 - chance), 1e-300)),
    )
    off = held.ln_rate - quantile(foretold, 0.5)
    return Backtest(
        fit=fit,
        pavements=len(np.unique(held.observed_pavement)),
        numbers=int(number.sum()),
        bounds=int((~number).sum()),
        inside_80=_inside(chance[number], 0.80),
        inside_95=_inside(chance[number], 0.95),
        rmse=_rms(off[number]),
        log_score=float(score.mean()),
        comparisons=_comparisons(rest, held, off, score),
    )


def newest_visits(portfolio: Portfolio) -> Bools:
    """(n,) which observations are of their pavement's newest day."""
    day = portfolio.visit_on.astype(np.int64)
    newest = np.full(len(portfolio.ref), np.iinfo(np.int64).min)
    np.maximum.at(newest, portfolio.observed_pavement, day)
    return np.asarray(day == newest[portfolio.observed_pavement])


def keep_observations(portfolio: Portfolio, keep: Bools) -> Portfolio:
    """The portfolio with some observations only, (n,) bool; everything else stays."""
    columns = ("spot", "passed", "since", "ln_rate", "sign", "visit_on")
    return replace(portfolio, **{name: getattr(portfolio, name)[keep] for name in columns})


def predictions(rest: Portfolio, held: Portfolio, parameters: Parameters) -> Level:
    """ln I of a test to come, its own noise included, for the observations held back."""
    places = places_of(rest, parameters)
    block = block_of(held)
    age = walk_ages(block.ages, parameters.recovery).after[block.slot] + block.since
    level = level_at(places.joint.take(len(rest.ref) + held.spot), age)
    sd = np.hypot(level.sd, parameters.sigma)
    return Level(level.mean, sd, level.q * level.sd / sd, level.z)


def _inside(chance: Floats, level: float) -> float:
    edge = (1 - level) / 2
    return float(np.mean((chance > edge) & (chance < 1 - edge))) if len(chance) else float("nan")


def _rms(off: Floats) -> float:
    return float(np.sqrt(np.mean(off**2))) if len(off) else float("nan")


def _comparisons(
    rest: Portfolio, held: Portfolio, off: Floats, score: Floats
) -> tuple[Comparison, ...]:
    said = {
        "last value carried forward": _last_values(rest, held),
        "a line for each pavement": _lines(rest, held),
    }
    return tuple(_compare(name, held, value, off, score) for name, value in said.items())


def _compare(name: str, held: Portfolio, said: Floats, off: Floats, score: Floats) -> Comparison:
    both = np.isfinite(said) & (held.sign == 0)
    rms = _rms((held.ln_rate - said)[both])
    # The mean log density of a normal whose standard deviation is that root mean square.
    log_score = -0.5 * (LN_2PI + 1) - float(np.log(rms)) if both.any() and rms > 0 else float("nan")
    model = float(score[both].mean()) if both.any() else float("nan")
    return Comparison(name, int(both.sum()), rms, log_score, _rms(off[both]), model)


def _last_values(rest: Portfolio, held: Portfolio) -> Floats:
    """The newest number at the same spot; nan where there is none."""
    last = np.full(len(rest.spot_name), np.nan)
    numbers = rest.sign == 0
    # Observations rise in time within a spot, so the last one written stays.
    last[rest.spot[numbers]] = rest.ln_rate[numbers]
    return last[held.spot]


def _lines(rest: Portfolio, held: Portfolio) -> Floats:
    """Least squares through each pavement's numbers; nan with fewer than two days."""
    count, numbers = len(rest.ref), rest.sign == 0
    owner, t, y = (
        rest.observed_pavement[numbers],
        elapsed_years(rest)[numbers],
        rest.ln_rate[numbers],
    )
    tests = np.maximum(np.bincount(owner, minlength=count), 1)
    mean_t = np.bincount(owner, t, count) / tests
    mean_y = np.bincount(owner, y, count) / tests
    off_t = t - mean_t[owner]
    spread = np.bincount(owner, off_t**2, count)
    shared = np.bincount(owner, off_t * (y - mean_y[owner]), count)
    known = spread > 1e-9
    slope = np.where(known, shared / np.where(known, spread, 1.0), np.nan)
    pavement = held.observed_pavement
    return mean_y[pavement] + slope[pavement] * (elapsed_years(held) - mean_t[pavement])


def elapsed_years(portfolio: Portfolio) -> Floats:
    """(n,) years from placing to each observation."""
    lists = portfolio.lists
    total = np.concatenate(([0.0], np.cumsum(lists.gap)))
    number = portfolio.spot_list[portfolio.spot]
    before = total[lists.first[number] + portfolio.passed] - total[lists.first[number]]
    return np.asarray(portfolio.since + before)
