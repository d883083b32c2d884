"""Kendall's rank correlation, tau-b, with p from shuffling.

tau-b = S / sqrt((n0 - n1)(n0 - n2)), S the concordant less the discordant pairs, n0 = n (n-1)/2,
n1 and n2 the pairs tied in the one and in the other (Kendall, Biometrika 33, 1945, 239-251).
p is two-sided: of `shuffles` random orders and the one seen, the share with |S| at least as large.
S is a whole number, so that no rounding decides.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

_AT_ONCE = 500_000  # values held in memory at a time


def tau_b(x: Sequence[float], y: Sequence[float]) -> float | None:
    """tau-b; None where all of x or all of y are equal, or there are fewer than two."""
    if len(x) != len(y):
        raise ValueError("as many of the one as of the other")
    one, other = _pair_signs(np.asarray(x, float)), _pair_signs(np.asarray(y, float))
    untied = float(np.count_nonzero(one)) * float(np.count_nonzero(other))
    return float(one @ other) / untied**0.5 if untied else None


def shuffled_p(x: Sequence[float], y: Sequence[float], *, seed: int, shuffles: int) -> float:
    """Two-sided p of tau-b by shuffling y; never below 1 / (shuffles + 1)."""
    if shuffles < 1:
        raise ValueError("at least one shuffle")
    steps = _steps(_ranks(x))
    values = _ranks(y)
    seen = abs(int(_concordance(steps, values[:, None])[0]))
    rng = np.random.default_rng(seed)
    batch = max(1, _AT_ONCE // max(1, values.size))
    as_large = 0
    for start in range(0, shuffles, batch):
        count = min(batch, shuffles - start)
        orders = rng.permuted(np.tile(values, (count, 1)), axis=1)
        found = _concordance(steps, np.ascontiguousarray(orders.T))
        as_large += int(np.count_nonzero(np.abs(found) >= seen))
    return (as_large + 1) / (shuffles + 1)


def _ranks(values: Sequence[float]) -> npt.NDArray[np.int16]:
    """Whole numbers in the same order, equal where the values are: quick to compare."""
    _, ranks = np.unique(np.asarray(values, float), return_inverse=True)
    return ranks.astype(np.int16)


def _steps(ranks: npt.NDArray[np.int16]) -> list[npt.NDArray[np.int16]]:
    """Signs of the differences of the pairs that lie 1, 2, ... places apart."""
    return [np.sign(ranks[k:] - ranks[:-k])[:, None] for k in range(1, len(ranks))]


def _concordance(
    steps: Sequence[npt.NDArray[np.int16]], orders: npt.NDArray[np.int16]
) -> npt.NDArray[np.int64]:
    """S of each column of orders, n to shuffles."""
    total = np.zeros(orders.shape[1], np.int64)
    for k, step in enumerate(steps, start=1):
        total += (step * np.sign(orders[k:] - orders[:-k])).sum(axis=0, dtype=np.int64)
    return total


def _pair_signs(values: npt.NDArray[np.float64]) -> npt.NDArray[np.int64]:
    """Signs of the differences of all pairs, n to n (n-1) / 2."""
    first, second = np.triu_indices(values.shape[-1], 1)
    return np.sign(values[first] - values[second]).astype(np.int64)
