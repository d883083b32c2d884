"""Nodes in two numbers (a, k), laid along what a bound sees of them: f = a - kV.

Along f the probability of a bound is a step, which wants many nodes; across, where f stays the
same, few. With V the mean age of the bounds, a covariance C has the factors

    u = C x / sqrt(x' C x),  x = (1, -V)      along: all of the spread of f
    w = (V, 1) sqrt(C_kk - u_k^2)             across: x' w = 0, and u u' + w w' = C

Each is summed over Gauss-Hermite nodes (Abramowitz and Stegun, 25.4.46, from memory).
"""

from dataclasses import dataclass
from typing import Self

import numpy as np

from registry.decline.pair import Pair, Square
from registry.decline.records import Floats, Ints

# From so many pavements of several bounds on, a coarser grid: what it misses is far below their
# standard errors.
MANY = 300


@dataclass(frozen=True)
class Grid:
    """How many nodes along and across, of a pavement (outer), and of a spot within (inner).

    With these, where a pavement has bounds alone, of ten or fewer, its log likelihood and the mean
    and standard deviation of its a come within 0.003 of the true ones.
    """

    outer: tuple[int, int] = (16, 3)
    inner: tuple[int, int] = (14, 2)

    @classmethod
    def for_many(cls, pavements: int) -> Self:
        """The grid for a fit with so many pavements of several bounds."""
        return cls((12, 3), (8, 2)) if pavements > MANY else cls()


def hermite(counts: tuple[int, int]) -> tuple[Floats, Floats, Floats]:
    """Nodes in two standard normal numbers and their log weights, (N,) each."""
    (along, log_along), (across, log_across) = (_line(count) for count in counts)
    first, second = np.meshgrid(along, across, indexing="ij")
    both = log_along[:, None] + log_across[None, :]
    return first.ravel(), second.ravel(), both.ravel()


def _line(count: int) -> tuple[Floats, Floats]:
    line, weight = np.polynomial.hermite_e.hermegauss(count)
    return line, np.log(weight / np.sqrt(2 * np.pi))


def spread_out(square: Square, age: Floats, first: Floats, second: Floats) -> Pair:
    """Standard normal nodes (N,) as nodes of each of n covariances, (n, N).

    age  (n,) V of what is seen of each
    """
    seen_a, seen_k = square.aa - age * square.ak, square.ak - age * square.kk
    variance = seen_a - age * seen_k
    sd = np.sqrt(np.where(variance > 0, variance, np.inf))
    along_a, along_k = seen_a / sd, seen_k / sd
    across_k = np.sqrt(np.maximum(square.kk - along_k**2, 0.0))
    across_a = age * across_k
    return Pair(
        along_a[:, None] * first + across_a[:, None] * second,
        along_k[:, None] * first + across_k[:, None] * second,
    )


def mean_by(group: Ints, values: Floats, count: int) -> Floats:
    """The mean of the values of each of `count` groups, none of them empty."""
    return np.asarray(np.bincount(group, values, count) / np.bincount(group, minlength=count))
