"""s = a - kV where (a, k) is a joint normal and k >= 0: dirt does not leave by itself.

symbol  meaning
m, d    mean and standard deviation of s before the condition
q       correlation of s and k
h       (t - m) / d of a level t
z       mean of k over its standard deviation: P(k >= 0) = Phi(z)

P(s < t and k >= 0) is a bivariate normal probability, by Owen's T function (D. B. Owen, Ann. Math.
Stat. 27, 1956, 1075-1090). Where k >= 0 is itself unlikely (z < -6) that would be the ratio of two
rounded numbers; there the condition is integrated over k by Gauss-Laguerre nodes.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr, ndtr, ndtri, owens_t

from registry.decline.records import Bools, Floats, Ints

UNLIKELY = -6.0
# Beyond this k >= 0 but for 1e-7, and the condition is left out.
CERTAIN = 5.2
# A Newton step squares the error: after one this small, nothing is left.
LAST_STEP = 1e-4
LEAST_GAP = 1e-10
NODES, WEIGHTS = np.polynomial.laguerre.laggauss(40)
TINY = 1e-300
LN_2PI = float(np.log(2 * np.pi))
LEAST_VARIANCE = 1e-18


@dataclass(frozen=True, eq=False)
class Joint:
    """Normals of (a, k), one for each of n places: means, variances and covariance, (n,)."""

    a: Floats
    k: Floats
    aa: Floats
    ak: Floats
    kk: Floats

    def take(self, rows: Bools | Ints) -> "Joint":
        return Joint(self.a[rows], self.k[rows], self.aa[rows], self.ak[rows], self.kk[rows])

    @property
    def z(self) -> Floats:
        return np.asarray(self.k / np.sqrt(np.maximum(self.kk, LEAST_VARIANCE)))


@dataclass(frozen=True, eq=False)
class Level:
    """s at an age, before the condition: m, d, q, and z of k, (n,)."""

    mean: Floats
    sd: Floats
    q: Floats
    z: Floats


def level_at(joint: Joint, age: Floats) -> Level:
    """s at effective ages, (n,) years."""
    variance = joint.aa - 2 * age * joint.ak + age**2 * joint.kk
    sd = np.sqrt(np.maximum(variance, LEAST_VARIANCE))
    shared = joint.ak - age * joint.kk
    q = shared / (sd * np.sqrt(np.maximum(joint.kk, LEAST_VARIANCE)))
    return Level(joint.a - age * joint.k, sd, np.clip(q, -1 + 1e-12, 1 - 1e-12), joint.z)


def chance_below(level: Level, threshold: Floats) -> Floats:
    """P(s < threshold | k >= 0), (n,)."""
    h = (threshold - level.mean) / level.sd
    p = np.asarray(ndtr(h))
    open_ = np.flatnonzero((level.z < CERTAIN) & (level.z >= UNLIKELY))
    p[open_] = _by_owen(h[open_], level.z[open_], level.q[open_])
    rare = np.flatnonzero(level.z < UNLIKELY)
    p[rare] = _by_nodes(h[rare], level.z[rare], level.q[rare])
    return p


def _by_owen(h: Floats, z: Floats, q: Floats) -> Floats:
    """P(S < h, -K < z) / Phi(z) for standard normals S, K of correlation q."""
    h = np.where(h == 0, TINY, h)
    z = np.where(z == 0, TINY, z)
    root = np.sqrt(1 - q**2)
    with np.errstate(over="ignore"):
        joint = (
            0.5 * (ndtr(h) + ndtr(z))
            - owens_t(h, (z / h + q) / root)
            - owens_t(z, (h / z + q) / root)
            - np.where((h < 0) != (z < 0), 0.5, 0.0)
        )
    return np.asarray(np.clip(joint / ndtr(z), 0.0, 1.0))


def _by_nodes(h: Floats, z: Floats, q: Floats) -> Floats:
    """The same for z well below 0: K - (-z) is nearly exponential with rate -z."""
    beyond = NODES[:, None] / -z
    weight = WEIGHTS[:, None] * np.exp(-0.5 * beyond**2)
    k = beyond - z
    below = ndtr((h - q * k) / np.sqrt(1 - q**2))
    return np.asarray((weight * below).sum(axis=0) / weight.sum(axis=0))


def log_density(level: Level, threshold: Floats) -> Floats:
    """Log of the density of s at a level given k >= 0, (n,), per unit of ln mm/h."""
    h = (threshold - level.mean) / level.sd
    fits = log_ndtr((level.z + level.q * h) / np.sqrt(1 - level.q**2)) - log_ndtr(level.z)
    return np.asarray(fits - 0.5 * (h**2 + LN_2PI) - np.log(level.sd))


def quantile(level: Level, share: float) -> Floats:
    """The level below which s lies with probability `share` given k >= 0, (n,).

    Newton steps in h, kept between ends that close in; exact at once where k >= 0 is certain.
    """
    start = float(ndtri(share))
    found = np.full(len(level.mean), start)
    rows = np.flatnonzero((level.z < CERTAIN) & np.isfinite(level.q))
    low, high = np.full(len(rows), -60.0), np.full(len(rows), 60.0)
    h = found[rows]
    while len(rows):
        part = Level(np.zeros(len(rows)), np.ones(len(rows)), level.q[rows], level.z[rows])
        off = chance_below(part, h) - share
        low, high = np.where(off < 0, h, low), np.where(off < 0, high, h)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            step = off / np.exp(log_density(part, h))
        last = (np.abs(step) <= LAST_STEP) | (high - low <= LEAST_GAP)
        moved = h - step
        inside = (moved > low) & (moved < high)
        moved = np.where(inside | last, moved, (low + high) / 2)
        found[rows] = moved
        going = ~last
        rows, h, low, high = rows[going], moved[going], low[going], high[going]
    return np.asarray(level.mean + level.sd * found)
