"""Rows to outlooks a second time, slowly and straight from the definition: for checks alone.

Observations are chosen by loops, each pavement's tests are one multivariate normal of dense
matrices, bounds are integrated by separation of variables (A. Genz, J. Comp. Graph. Stat. 1, 1992,
141-149, from memory) on Gauss-Legendre nodes, k >= 0 by nodes over k, days and ages by bisection.
Nothing of `registry` is used.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache

import numpy as np
from scipy.optimize import brentq
from scipy.special import expit, ndtr, ndtri
from scipy.stats import norm

from tests.decline.second_rows import AS_OF, METHODS, Lot, Place, years_between

# The table of priors: mean and standard deviation of the unconstrained numbers, in the order of
# mu_a, mu_k, ln sd_a, ln sd_k, atanh c, ln tau_a, ln tau_k, ln sigma, logit r x 4, gamma x 4.
PRIOR_MEAN = np.array(
    [np.log(5000), 0.35, np.log(0.7), np.log(0.2), 0, np.log(0.5), np.log(0.1), np.log(0.25),
     *(np.log(r / (1 - r)) for r in (0.15, 0.30, 0.40, 0.65)), 0, 0, 0, 0]
)  # fmt: skip
PRIOR_SD = np.array([1.2, 0.25, *[0.5] * 6, *[0.8] * 4, *[0.2] * 4])
CLAIMS = ("heavy_trees", "winter_sand", "bare_soil_run_on")
LINE, WEIGHT = np.polynomial.legendre.leggauss(600)
RISK, BEYOND, LOW, HIGH = 0.10, 0.5, 0.10, 0.90


@dataclass(frozen=True)
class Seen:
    """One observation: at which place, when, ln mm/h, 0 a number, -1 below it, 1 above it."""

    place: str
    at: datetime
    y: float
    sign: int


@cache
def observed(lot: Lot) -> list[Seen]:
    """Each spot and day: a first bound, or the mean of its first two drained runs."""
    found = []
    for place in lot.places:
        poured = sorted((r for r in place.runs if not r.void), key=lambda r: r.at)
        for day in sorted({run.at.date() for run in poured}):
            first = min(run.at for run in poured if run.at.date() == day)
            before = [run.at for run in poured if run.at.date() < day]
            if before and first - max(before) < timedelta(hours=24):
                continue
            runs = [r for r in poured if r.at.date() == day and not r.rain and r.method == "c1701"]
            if not runs or day < lot.placed_on or day > AS_OF:
                continue
            if runs[0].ended != "drained":
                sign = -1 if runs[0].ended == "stopped" else 1
                found.append(Seen(place.name, runs[0].at, float(np.log(runs[0].mm_h)), sign))
                continue
            rates = [run.mm_h for run in runs if run.ended == "drained"][:2]
            found.append(Seen(place.name, runs[0].at, float(np.log(np.mean(rates))), 0))
    return found


def age(lot: Lot, recovery, name: str, at: datetime) -> float:
    """Effective age of a place, or of the whole lot ("")."""
    last, found = datetime.combine(lot.placed_on, time()), 0.0
    order = sorted(range(len(lot.cleanings)), key=lambda nth: lot.cleanings[nth][0])
    for nth in order:
        when, method = lot.cleanings[nth]
        if last <= when < at and (nth, name) not in lot.skips:
            found = (found + years_between(last, when)) * (1 - recovery[METHODS.index(method)])
            last = when
    return found + years_between(last, at)


class Numbers:
    """The sixteen unconstrained numbers by name."""

    def __init__(self, vector) -> None:
        self.mu_a, self.mu_k, ln_a, ln_k, turn, ln_ta, ln_tk, ln_s = vector[:8]
        sd_a, sd_k, c = np.exp(ln_a), np.exp(ln_k), np.tanh(turn)
        self.omega = np.array([[sd_a**2, c * sd_a * sd_k], [c * sd_a * sd_k, sd_k**2]])
        self.tau = np.diag(np.exp([2 * ln_ta, 2 * ln_tk]))
        self.sigma = np.exp(ln_s)
        self.recovery, self.gamma = expit(vector[8:12]), np.asarray(vector[12:16])


def driven(lot: Lot, place: Place | None) -> np.ndarray:
    """z of a place, or of the lot itself: unknown counts as no."""
    edge = place is not None and place.stratum == "run_on_edge"
    return np.array([edge, *(lot.claims[name] == "yes" for name in CLAIMS)], float)


class Laid:
    """One lot's tests as a normal: numbers, and bounds given the numbers."""

    def __init__(self, lot: Lot, numbers: Numbers) -> None:
        self.lot, self.numbers, self.seen = lot, numbers, observed(lot)
        seen, n = self.seen, len(self.seen)
        by_name = {place.name: place for place in lot.places}
        ages = np.array([age(lot, numbers.recovery, s.place, s.at) for s in seen])
        z = np.array([driven(lot, by_name[s.place]) for s in seen]).reshape(n, 4)
        self.x = np.column_stack((np.ones(n), -ages))
        self.same = np.array([[s.place == t.place for t in seen] for s in seen]).reshape(n, n)
        self.mean = numbers.mu_a - ages * (numbers.mu_k + z @ numbers.gamma)
        spread = self.x @ numbers.omega @ self.x.T + (self.x @ numbers.tau @ self.x.T) * self.same
        self.cov = spread + numbers.sigma**2 * np.eye(n)
        self.y = np.array([s.y for s in seen])
        self.sign = np.array([s.sign for s in seen])

    def given_numbers(self):
        """ln density of the numbers; mean and covariance of the bounded, given them."""
        number, bound = self.sign == 0, self.sign != 0
        off = (self.y - self.mean)[number]
        own = self.cov[np.ix_(number, number)]
        cross = self.cov[np.ix_(number, bound)]
        density = 0.0
        if number.any():
            density = -0.5 * (
                off @ np.linalg.solve(own, off)
                + np.linalg.slogdet(own)[1]
                + number.sum() * np.log(2 * np.pi)
            )
        gain = np.linalg.solve(own, cross) if number.any() else cross
        mean = self.mean[bound] + gain.T @ off
        return density, mean, self.cov[np.ix_(bound, bound)] - gain.T @ cross

    def log_likelihood(self) -> float:
        density, mean, cov = self.given_numbers()
        bound = self.sign != 0
        if not bound.any():
            return float(density)
        return float(density + np.log(cut(mean, cov, self.y[bound], self.sign[bound])[0]))

    def moments(self, place: Place | None):
        """Mean and covariance of (a, k) of the lot (None) or of a place."""
        n = self.numbers
        own = np.array([n.mu_a, n.mu_k + driven(self.lot, place) @ n.gamma])
        prior = n.omega if place is None else n.omega + n.tau
        if not self.seen:
            return own, prior
        cross = self.x @ n.omega
        if place is not None:
            here = np.array([s.place == place.name for s in self.seen])
            cross = cross + (self.x @ n.tau) * here[:, None]
        y, varies, bound = self.y.copy(), np.zeros_like(self.cov), self.sign != 0
        if bound.any():
            _, mean, cov = self.given_numbers()
            _, y[bound], varies[np.ix_(bound, bound)] = cut(
                mean, cov, self.y[bound], self.sign[bound], moments=True
            )
        gain = np.linalg.solve(self.cov, cross)
        return own + gain.T @ (y - self.mean), prior - gain.T @ cross + gain.T @ varies @ gain


def cut(mean, cov, edge, sign, *, moments: bool = False):
    """Chance, and mean and covariance, of a normal kept below (-1) or above (1) each edge."""
    turn = -np.asarray(sign, float)  # all become "below"
    lower = np.linalg.cholesky(cov * np.outer(turn, turn))
    top = (edge - mean) * turn
    # The last variable needs no nodes of its own but for the moments.
    axes = len(top) if moments else len(top) - 1
    nodes = {0: 1, 1: 64, 2: 40, 3: 24}.get(axes, 14)
    line, weight = np.polynomial.legendre.leggauss(nodes)
    # The integrand bends most at both ends: more nodes there, by x -> 3 x^2 - 2 x^3.
    line, weight = (line + 1) / 2, weight / 2
    line, weight = line**2 * (3 - 2 * line), weight * 6 * line * (1 - line)
    cube = [grid.ravel() for grid in np.meshgrid(*[line] * axes, indexing="ij")]
    weights = [grid.ravel() for grid in np.meshgrid(*[weight] * axes, indexing="ij")]
    mass = np.prod(weights, axis=0) if weights else np.ones(1)
    drawn = np.zeros((len(mass), len(top)))
    for nth in range(len(top)):
        room = ndtr((top[nth] - drawn[:, :nth] @ lower[nth, :nth]) / lower[nth, nth])
        mass = mass * room
        if nth < axes:
            drawn[:, nth] = ndtri(np.maximum(room * cube[nth], 1e-300))
    total = float(mass.sum())
    if not moments:
        return total, None, None
    values = (drawn @ lower.T) * turn + mean
    middle = mass @ values / total
    off = values - middle
    return total, middle, (off * mass[:, None]).T @ off / total


def log_likelihood(lots, vector) -> float:
    numbers = Numbers(vector)
    return sum(laid.log_likelihood() for lot in lots if (laid := Laid(lot, numbers)).seen)


def log_posterior(lots, vector) -> float:
    z = (vector - PRIOR_MEAN) / PRIOR_SD
    prior = -0.5 * z @ z - np.log(PRIOR_SD * np.sqrt(2 * np.pi)).sum()
    return log_likelihood(lots, vector) + float(prior)


class Surface:
    """a - kV of one place with k >= 0, by nodes over k. mean, cov of (a, k)."""

    def __init__(self, mean, cov) -> None:
        self.mean, self.cov = mean, cov
        k, sd = mean[1], np.sqrt(cov[1, 1])
        low, high = max(0.0, k - 9 * sd), max(k, 0.0) + 9 * sd
        self.k = low + (LINE + 1) / 2 * (high - low)
        mass = WEIGHT * norm.pdf(self.k, k, sd)
        self.mass = mass / mass.sum()
        self.a = mean[0] + cov[0, 1] / cov[1, 1] * (self.k - k)
        self.sd_a = np.sqrt(max(cov[0, 0] - cov[0, 1] ** 2 / cov[1, 1], 1e-18))

    def below(self, level, years: float) -> float:
        return float(self.mass @ ndtr((level - self.a + self.k * years) / self.sd_a))

    def quantile(self, share: float, years: float) -> float:
        return brentq(lambda s: self.below(s, years) - share, -80.0, 80.0, xtol=1e-10)

    def age_reaching(self, level: float, share: float) -> float:
        """Effective age at which the chance of lying below is the share; 0 if it is there new."""
        if self.below(level, 0.0) >= share:
            return 0.0
        if self.below(level, 500.0) < share:
            return float("inf")
        return brentq(lambda v: self.below(level, v) - share, 0.0, 500.0, xtol=1e-10)


def day_in(years: float) -> date | None:
    return AS_OF + timedelta(days=int(np.floor(365.25 * max(years, 0)))) if years <= 10 else None


def place_outlook(lot: Lot, numbers: Numbers, laid: Laid, place: Place | None) -> dict:
    mean, cov = laid.moments(place)
    surface = Surface(mean, cov)
    old = age(lot, numbers.recovery, place.name if place else "", datetime.combine(AS_OF, time()))
    found = {
        "effective_age": old,
        "a": mean[0],
        "k": mean[1],
        "sd_a": np.sqrt(cov[0, 0]),
        "sd_k": np.sqrt(cov[1, 1]),
        **{
            name: float(np.exp(surface.quantile(share, old)))
            for name, share in (("rate", 0.5), ("low", LOW), ("high", HIGH))
        },
    }
    if lot.action_mm_h is None:
        return {**found, "p_below": None, "sweep_by": None}
    level = np.log(lot.action_mm_h)
    reached = surface.age_reaching(level, RISK)
    return {
        **found,
        "p_below": surface.below(level, old),
        "sweep_by": day_in(reached - old),
        "reached": reached,
        "middle": surface.age_reaching(level, 0.5),
        "beyond": surface.below(level, old * (1 - max(numbers.recovery))) >= BEYOND,
        "after": [
            {
                "rate": float(np.exp(surface.quantile(0.5, old * (1 - r)))),
                "low": float(np.exp(surface.quantile(LOW, old * (1 - r)))),
                "high": float(np.exp(surface.quantile(HIGH, old * (1 - r)))),
                "p_below": surface.below(level, old * (1 - r)),
                "sweep_by": day_in(reached - old * (1 - r)),
            }
            for r in numbers.recovery
        ],
        "years": [r * reached for r in numbers.recovery],
        "median_years": [r * surface.age_reaching(level, 0.5) for r in numbers.recovery],
    }


def lot_outlook(lot: Lot, vector) -> dict:
    numbers = Numbers(vector)
    laid = Laid(lot, numbers)
    own = place_outlook(lot, numbers, laid, None)
    points = {p.name: place_outlook(lot, numbers, laid, p) for p in lot.places}
    tested = {seen.place for seen in laid.seen}
    days = [own["sweep_by"], *(points[name]["sweep_by"] for name in tested)]
    first = min((day for day in days if day), default=None)
    shares = {}
    if lot.action_mm_h is not None:
        mean, cov = laid.moments(None)
        for name, gamma in (("share_below", 0.0), ("edge_share_below", numbers.gamma[0])):
            # A place nobody tested: alpha and kappa as they come.
            anywhere = Surface(mean + np.array([0.0, gamma]), cov + numbers.tau)
            shares[name] = anywhere.below(np.log(lot.action_mm_h), own["effective_age"])
    return {**own, "points": points, "tested": tested, "pavement_sweep_by": first, **shares}
