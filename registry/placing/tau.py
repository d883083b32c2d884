"""Kendall's rank correlation, tau-b, with p from shuffling.

tau-b = S / sqrt((n0 - n1)(n0 - n2)), S the concordant less the discordant pairs, n0 = n (n-1)/2,
n1 and n2 the pairs tied in the one and in the other (Kendall, Biometrika 33, 1945, 239-251).
p is two-sided: of `shuffles` random orders and the one seen, the share with |S| at least as large.
S is a whole number, so that no rounding decides.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

_AT_ONCE = 2_000_000  # pairs held in memory at a time


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
    values = np.asarray(y, float)
    one = _pair_signs(np.asarray(x, float))
    seen = abs(int(one @ _pair_signs(values)))
    rng = np.random.default_rng(seed)
    batch = max(1, _AT_ONCE // max(1, one.size))
    as_large = 0
    for start in range(0, shuffles, batch):
        count = min(batch, shuffles - start)
        orders = rng.permuted(np.tile(values, (count, 1)), axis=1)
        as_large += int(np.count_nonzero(np.abs(_pair_signs(orders) @ one) >= seen))
    return (as_large + 1) / (shuffles + 1)


def _pair_signs(values: npt.NDArray[np.float64]) -> npt.NDArray[np.int64]:
    """Signs of the differences of all pairs, last axis n to n (n-1) / 2."""
    first, second = np.triu_indices(values.shape[-1], 1)
    return np.sign(values[..., first] - values[..., second]).astype(np.int64)
