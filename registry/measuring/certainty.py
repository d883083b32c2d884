"""How sure a visit is (N5): geometric mean with its interval, and the share below a level.

symbol  meaning
n       number of rates
G       geometric mean, exp(mean ln I)
s       standard deviation of ln I (n - 1)
t       quantile of Student's t with n - 1 degrees of freedom

95 % interval of G: G exp(-+ t_0.975 s / sqrt n); lower 90 % value: G exp(-t_0.90 s / sqrt n).
Share below: x of n with the exact upper 90 % limit of Clopper and Pearson, Biometrika 26 (1934)
404-413; for x = 0 that is 1 - 0.1^(1/n).

`scipy.special` alone is imported here: `scipy.stats` takes long to load and is kept to the tests.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import betaincinv, stdtrit

from registry.faults import DomainError

FEWEST = 4
CONFIDENCE = 0.90


class InvalidSample(DomainError):
    """Numbers that no set of rates can have."""


@dataclass(frozen=True)
class Certainty:
    """n rates in one unit; every rate below is in that unit.

    spread  geometric standard deviation, exp(s), a factor
    low, high   95 % interval of the geometric mean
    lower_90    value above which the geometric mean lies with 90 % sureness
    """

    n: int
    geometric_mean: float
    spread: float
    low: float
    high: float
    lower_90: float


@dataclass(frozen=True)
class TooFew:
    """Too few rates for an interval, or bounds among them: say the reason instead."""

    n: int
    code: str
    reason: str


@dataclass(frozen=True)
class ShareBelow:
    """How much of the surface may lie below a level.

    below      rates known to be below;  undecided  bounds that straddle the level
    upper_90   upper 90 % limit of the share, the undecided counted as below
    """

    n: int
    below: int
    undecided: int
    upper_90: float


def t_quantile(probability: float, degrees: int) -> float:
    """Quantile of Student's t distribution."""
    if not 0 < probability < 1 or degrees < 1:
        raise ValueError("a probability between 0 and 1 and at least one degree of freedom")
    return float(stdtrit(degrees, probability))


def binomial_upper(below: int, n: int, confidence: float = CONFIDENCE) -> float:
    """Exact one-sided upper limit of a share of which `below` of `n` were seen."""
    if not 0 <= below <= n or n < 1 or not 0 < confidence < 1:
        raise ValueError("0 <= below <= n, n >= 1 and a confidence between 0 and 1")
    return 1.0 if below == n else float(betaincinv(below + 1, n - below, confidence))


def geometric_mean(rates: Sequence[float]) -> float:
    """exp of the mean of ln I. Raises InvalidSample for none, or for one not above zero."""
    return math.exp(sum(_logs(rates)) / len(rates))


def estimate_certainty(rates: Sequence[float], *, bounds: int = 0) -> Certainty | TooFew:
    """Geometric mean with interval from plain rates of one unit.

    rates   numbers only;  bounds  how many further results are bounds

    With a bound among the results no mean may be given; with under 4 rates none is sure.
    """
    n = len(rates)
    if bounds:
        return TooFew(n, "bounds", "No geometric mean: some results are bounds.")
    if n < FEWEST:
        return TooFew(n, "too_few", f"Too few: {n} of at least {FEWEST} results.")
    logs = _logs(rates)
    middle = sum(logs) / n
    s = math.sqrt(sum((x - middle) ** 2 for x in logs) / (n - 1))
    error = s / math.sqrt(n)
    half = t_quantile(0.975, n - 1) * error
    return Certainty(
        n=n,
        geometric_mean=math.exp(middle),
        spread=math.exp(s),
        low=math.exp(middle - half),
        high=math.exp(middle + half),
        lower_90=math.exp(middle - t_quantile(CONFIDENCE, n - 1) * error),
    )


def share_below(results: Sequence[tuple[float, str]], level: float) -> ShareBelow | TooFew:
    """The share below `level` from (rate, sign) pairs of the same unit."""
    if not results:
        return TooFew(0, "none", "No results.")
    below = sum(1 for rate, sign in results if is_below(rate, sign, level))
    undecided = sum(1 for rate, sign in results if is_below(rate, sign, level) is None)
    return ShareBelow(
        len(results), below, undecided, binomial_upper(below + undecided, len(results))
    )


def is_below(rate: float, sign: str, level: float) -> bool | None:
    """Whether a rate or bound lies below a level; None for a bound that straddles it."""
    if sign == "<":
        return True if rate <= level else None
    if sign == ">":
        return False if rate >= level else None
    return rate < level


def _logs(rates: Sequence[float]) -> list[float]:
    if not rates:
        raise InvalidSample("No rates, so no mean.")
    if not all(math.isfinite(rate) and rate > 0 for rate in rates):
        raise InvalidSample("Every rate must be a number above zero.")
    return [math.log(rate) for rate in rates]
