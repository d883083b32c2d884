"""Symmetric 2x2 matrices, one for each of many spots or pavements, as three columns.

(I + L T)^-1 and its kin are written out, so that nothing is inverted that may be singular: a spot
with one test has a precision of rank one, and a spread of 0 is allowed.
"""

from typing import NamedTuple

import numpy as np

from registry.decline.records import Floats, Ints


class Pair(NamedTuple):
    """Columns for a and for k."""

    a: Floats
    k: Floats


class Square(NamedTuple):
    """A symmetric matrix [[aa, ak], [ak, kk]]."""

    aa: Floats
    ak: Floats
    kk: Floats

    def times(self, other: Pair) -> Pair:
        return Pair(self.aa * other.a + self.ak * other.k, self.ak * other.a + self.kk * other.k)

    def determinant(self) -> Floats:
        # Rounding can leave a matrix of rank one a little below 0.
        return np.asarray(np.maximum(self.aa * self.kk - self.ak**2, 0.0))

    def minus(self, other: "Square") -> "Square":
        return Square(self.aa - other.aa, self.ak - other.ak, self.kk - other.kk)

    def take(self, rows: Ints) -> "Square":
        return Square(self.aa[rows], self.ak[rows], self.kk[rows])

    def around(self, inner: "Square") -> "Square":
        """self @ inner @ self."""
        left_aa = self.aa * inner.aa + self.ak * inner.ak
        left_ak = self.aa * inner.ak + self.ak * inner.kk
        left_ka = self.ak * inner.aa + self.kk * inner.ak
        left_kk = self.ak * inner.ak + self.kk * inner.kk
        return Square(
            left_aa * self.aa + left_ak * self.ak,
            left_aa * self.ak + left_ak * self.kk,
            left_ka * self.ak + left_kk * self.kk,
        )


def widened(precision: Square, spread: Square) -> tuple[Square, Floats]:
    """(L^-1 + T)^-1 = (I + L T)^-1 L, and det(I + L T), for a precision L and a covariance T."""
    det = precision.determinant()
    det_spread = spread.aa * spread.kk - spread.ak**2
    trace = precision.aa * spread.aa + 2 * precision.ak * spread.ak + precision.kk * spread.kk
    whole = 1.0 + trace + det * det_spread
    wider = Square(
        (precision.aa + spread.kk * det) / whole,
        (precision.ak - spread.ak * det) / whole,
        (precision.kk + spread.aa * det) / whole,
    )
    return wider, whole


def sum_by(group: Ints, column: Floats, count: int) -> Floats:
    return np.asarray(np.bincount(group, weights=column, minlength=count), float)


def dot(first: Floats, second: Floats) -> float:
    """Sum of products. Not `@`: BLAS starts threads for it, which on a busy machine cost far more
    than they save, and whose number would change the last digits."""
    return float(np.einsum("n,n->", first, second))


def columns_times(columns: Floats, factors: Floats) -> Floats:
    """(n, m) columns times (m,) factors, summed to (n,); without BLAS, as in `dot`."""
    return np.asarray(np.einsum("nm,m->n", columns, factors))


def times_columns(weights: Floats, columns: Floats) -> Floats:
    """(n,) weights times (n, m) columns, summed to (m,); without BLAS, as in `dot`."""
    return np.asarray(np.einsum("n,nm->m", weights, columns))


def put(into: Pair | Square, rows: Ints, values: Pair | Square) -> None:
    """Write values over some rows."""
    for column, value in zip(into, values, strict=True):
        column[rows] = value
