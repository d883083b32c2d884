"""What a fit leaves over: how far each number lies from what was fitted there, standardised.

symbol   meaning                                                      unit
f        a - kV, what was fitted at a test, given all tests            ln mm/h
V        effective age at the test                                     years
r        (y - E f) / sqrt(sigma^2 - Var f): standard normal if all     1
         that was assumed holds

A bound (stopped, too fast) has no number and so no residual; how many there are is counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from registry.decline.blocks import Block
from registry.decline.likelihood import Moments, integrate
from registry.decline.objective import Objective
from registry.decline.parameters import Parameters
from registry.decline.records import Floats

FURTHEST = 4.0
"""Residuals beyond it are counted in the outermost rows."""
COLUMNS, ROWS = 36, 24


@dataclass(frozen=True, eq=False)
class Residuals:
    """Of the n - b numbers of a pool, in the order of the portfolio, (n - b,) each.

    fitted ln mm/h, age years, standardised; bounds: how many tests have none.
    """

    fitted: Floats
    age: Floats
    standardised: Floats
    bounds: int


@dataclass(frozen=True)
class Cells:
    """Residuals counted in the cells of a grid, so that a picture weighs the same for any pool.

    low, high   ends of the columns, ln mm/h or years; rows run from -FURTHEST to FURTHEST
    counts      (column, row, how many) of each cell that has any
    """

    low: float
    high: float
    columns: int
    rows: int
    counts: tuple[tuple[int, int, int], ...]


def residuals_of(objective: Objective, parameters: Parameters) -> Residuals:
    """Work them out where the objective's bounds rest, at the parameters."""
    found: list[Residuals] = []
    for block, low, high in zip(
        objective.blocks, objective.ends[:-1], objective.ends[1:], strict=True
    ):
        aged = objective.aged(block, parameters.recovery)
        sites = objective.sites.take(slice(low, high))
        found.append(_of_block(block, integrate(block, parameters, sites, aged), parameters.sigma))
    return Residuals(
        np.concatenate([part.fitted for part in found]),
        np.concatenate([part.age for part in found]),
        np.concatenate([part.standardised for part in found]),
        sum(part.bounds for part in found),
    )


def _of_block(block: Block, moments: Moments, sigma: float) -> Residuals:
    numbers = np.flatnonzero(block.sign == 0)
    spot, age = block.spot[numbers], moments.sums.age[numbers]
    spread = moments.spread.take(spot)
    variance = spread.aa - 2 * age * spread.ak + age**2 * spread.kk
    fitted = moments.mean.a[spot] - age * moments.mean.k[spot]
    # A test alone at its spot can be met exactly; nothing is then left to stand out.
    left = np.maximum(sigma**2 - variance, 1e-12 * sigma**2)
    off = (block.ln_rate[numbers] - fitted) / np.sqrt(left)
    return Residuals(fitted, age, np.asarray(off), len(block.bound))


def against_fitted(residuals: Residuals) -> Cells:
    """Counted by what was fitted, in even steps of ln mm/h."""
    return _counted(residuals.fitted, residuals.standardised)


def against_age(residuals: Residuals) -> Cells:
    """Counted by effective age, from 0 on."""
    return _counted(residuals.age, residuals.standardised, low=0.0)


def _counted(across: Floats, off: Floats, low: float | None = None) -> Cells:
    finite = np.isfinite(across) & np.isfinite(off)
    across, off = across[finite], off[finite]
    if not len(across):
        return Cells(0.0, 1.0, COLUMNS, ROWS, ())
    left = float(across.min()) if low is None else low
    right = max(float(across.max()), left + 1e-3)
    column = _place(across, left, right, COLUMNS)
    row = _place(off, -FURTHEST, FURTHEST, ROWS)
    cell, count = np.unique(column * ROWS + row, return_counts=True)
    counts = zip((cell // ROWS).tolist(), (cell % ROWS).tolist(), count.tolist(), strict=True)
    return Cells(left, right, COLUMNS, ROWS, tuple(counts))


def _place(values: Floats, low: float, high: float, cells: int) -> np.ndarray:
    share = np.clip((values - low) / (high - low), 0.0, 1.0)
    return np.minimum((share * cells).astype(np.int64), cells - 1)


def cells_from(counts: Sequence[Sequence[int]], low: float, high: float) -> Cells:
    """Cells as stored, read back."""
    return Cells(low, high, COLUMNS, ROWS, tuple((c, r, n) for c, r, n in counts))
