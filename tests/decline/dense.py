"""The model a second time, slowly and straight from its definition: for checks alone.

Each pavement's tests are one multivariate normal, laid out as dense matrices; bounds are integrated
over the normal of what they bound, given the numbers, by Gauss-Legendre nodes. Ages are walked one
cleaning after another. Nothing of `registry.decline` is used but the records and the parameters.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit
from scipy.stats import multivariate_normal

from registry.decline.records import DRIVERS, Records

YEAR_S = 86_400 * 365.25
LINE, WEIGHT = np.polynomial.legendre.leggauss(40)
DEEP = 9.0  # standard deviations within which all of a normal lies


@dataclass(frozen=True)
class One:
    """One pavement: its tests in time, and the cleanings in years since placing."""

    spot: np.ndarray
    years: np.ndarray
    y: np.ndarray
    sign: np.ndarray
    driver: np.ndarray
    cleaned: list[tuple[float, int]]

    def ages(self, recovery, at):
        found = []
        for years in at:
            age, last = 0.0, 0.0
            for when, method in self.cleaned:
                if when >= years:
                    break
                age, last = (age + when - last) * (1 - recovery[method]), when
            found.append(age + years - last)
        return np.array(found)


def pavements_of(records: Records) -> list[One]:
    """For records with one run a spot and day, nothing left out, no skips."""
    found = []
    p, s, r, c = records.pavements, records.spots, records.runs, records.cleanings
    for n in range(len(p.ref)):
        placed = p.placed_on[n].astype("datetime64[s]")
        rows = np.flatnonzero(s.pavement[r.spot] == n)
        own = np.flatnonzero(c.pavement == n)
        when = (c.done_at[own] - placed).astype(float) / YEAR_S
        claims = [getattr(p, name)[n] for name in DRIVERS[1:]]
        edge = s.run_on_edge[r.spot[rows]]
        found.append(
            One(
                spot=r.spot[rows],
                years=(r.started_at[rows] - placed).astype(float) / YEAR_S,
                y=np.log(r.mm_h[rows]),
                sign=r.sign[rows],
                driver=np.column_stack([edge, np.tile(claims, (len(rows), 1))]).astype(float),
                cleaned=sorted(zip(when.tolist(), c.method[own].tolist(), strict=True)),
            )
        )
    return found


def natural(vector):
    """The sixteen unconstrained numbers, as `parameters` lists them."""
    mu_a, mu_k, ln_a, ln_k, turn, ln_ta, ln_tk, ln_s = vector[:8]
    sd_a, sd_k, c = np.exp(ln_a), np.exp(ln_k), np.tanh(turn)
    omega = np.array([[sd_a**2, c * sd_a * sd_k], [c * sd_a * sd_k, sd_k**2]])
    tau = np.diag(np.exp([2 * ln_ta, 2 * ln_tk]))
    return mu_a, mu_k, omega, tau, np.exp(ln_s), expit(vector[8:12]), vector[12:16]


def laid_out(one: One, vector):
    """Mean and covariance of the tests; design and prior of (a_p, k_p) in them."""
    mu_a, mu_k, omega, tau, sigma, recovery, gamma = natural(vector)
    age = one.ages(recovery, one.years)
    x = np.column_stack((np.ones(len(age)), -age))
    mean = mu_a - age * (mu_k + one.driver @ gamma)
    same = one.spot[:, None] == one.spot
    cov = x @ omega @ x.T + (x @ tau @ x.T) * same + sigma**2 * np.eye(len(age))
    return mean, cov, x


def bounded_part(one: One, mean, cov):
    """Mean and covariance of what is bounded given the numbers, and the log density of those."""
    number, bound = one.sign == 0, one.sign != 0
    m_b, c_b = mean[bound], cov[np.ix_(bound, bound)]
    if not number.any():
        return m_b, c_b, 0.0
    solved = np.linalg.solve(cov[np.ix_(number, number)], cov[np.ix_(number, bound)])
    off = one.y[number] - mean[number]
    given = m_b + solved.T @ off
    left = c_b - solved.T @ cov[np.ix_(number, bound)]
    density = multivariate_normal(mean[number], cov[np.ix_(number, number)]).logpdf(one.y[number])
    return given, left, float(density)


def truncated(mean, cov, edge, sign):
    """Chance, mean and covariance of a normal kept below (-1) or above (1) each edge."""
    sd, axes, weights = np.sqrt(np.diag(cov)), [], []
    for m, d, b, s in zip(mean, sd, edge, sign, strict=True):
        low, high = (
            (max(b, m - DEEP * d), m + DEEP * d) if s > 0 else (m - DEEP * d, min(b, m + DEEP * d))
        )
        if s > 0 and b > m:
            high = b + DEEP * d
        if s < 0 and b < m:
            low = b - DEEP * d
        axes.append((low + high) / 2 + (high - low) / 2 * LINE)
        weights.append((high - low) / 2 * WEIGHT)
    nodes = np.stack([g.ravel() for g in np.meshgrid(*axes, indexing="ij")], axis=1)
    weight = np.prod([g.ravel() for g in np.meshgrid(*weights, indexing="ij")], axis=0)
    weight = weight * multivariate_normal(mean, cov).pdf(nodes)
    total = weight.sum()
    middle = weight @ nodes / total
    off = nodes - middle
    return total, middle, (off * weight[:, None]).T @ off / total


def log_likelihood(ones: list[One], vector) -> float:
    total = 0.0
    for one in ones:
        if not len(one.y):
            continue
        mean, cov, _ = laid_out(one, vector)
        bound = one.sign != 0
        given, left, density = bounded_part(one, mean, cov)
        total += density
        if bound.any():
            total += np.log(truncated(given, left, one.y[bound], one.sign[bound])[0])
    return total


def moments_at(one: One, vector, spot: int | None, driver):
    """Mean and covariance of (a, k) of the pavement (spot None) or of one of its spots."""
    mu_a, mu_k, omega, tau, _, _, gamma = natural(vector)
    own = np.array([mu_a, mu_k + driver @ gamma])
    prior = omega if spot is None else omega + tau
    if not len(one.y):
        return own, prior
    mean, cov, x = laid_out(one, vector)
    cross = x @ omega + (0 if spot is None else (x @ tau) * (one.spot == spot)[:, None])
    number, bound = one.sign == 0, one.sign != 0
    y, inner = np.where(number, one.y, mean), np.zeros_like(cov)
    if bound.any():
        given, left, _ = bounded_part(one, mean, cov)
        _, y[bound], inner[np.ix_(bound, bound)] = truncated(
            given, left, one.y[bound], one.sign[bound]
        )
        # Numbers are known: only what is bounded still varies.
    gain = np.linalg.solve(cov, cross)
    return own + gain.T @ (y - mean), prior - gain.T @ cross + gain.T @ inner @ gain
