"""How much of what was placed was called back or raveled, and how sure that is (N5).

symbol  meaning
a, c    area of one load that counts, and of it what was called back or raveled
p       sum c / sum a
n       number of loads: the load is the unit of comparison, not the panel
v       variance of p with the loads as clusters, n/(n-1) sum (c - p a)^2 / (sum a)^2
m       number of loads of one size that weigh as much, (sum a)^2 / sum a^2; n for equal areas
n*      effective number of loads, p (1 - p) / v, at most m; m where p is 0 or 1, or v is 0

Limits: those of Clopper and Pearson, Biometrika 26 (1934) 404-413, with n* p hits in n* trials, as
Korn and Graubard, Survey Methodology 24 (1998) 193-201, have it for shares of weighted clusters.
Each is 90 % sure by itself; for p = 0 the upper one is 1 - 0.1^(1/m). m is Kish's (Survey Sampling,
Wiley 1965, section 11.7, from memory). Departures: a load counts as one trial at most, however
evenly its concrete behaved; and since n loads are n clusters too, the factor of degrees of freedom
is 1.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.special import betaincinv

from registry.placing.faults import PlacingError
from registry.units import System

FEWEST_LOADS = 4
CONFIDENCE = 0.90
_DUST_M2 = 1e-9
_OF = {System.SI: 100.0, System.INCH_POUND: 1000.0}
_UNIT = {System.SI: "m² per 100 m²", System.INCH_POUND: "ft² per 1 000 ft²"}


@dataclass(frozen=True)
class AreaRate:
    """A share of the area placed, 0 to 1, over `loads` loads and their area in m2.

    low, high  one-sided 90 % limits; None under 4 loads, where `reason` says so
    """

    share: float
    loads: int
    area_m2: float
    low: float | None = None
    high: float | None = None
    reason: str = ""


def area_rate(loads: Sequence[tuple[float, float]]) -> AreaRate | None:
    """The share of (area placed, area hit) of loads, m2; None where no area was placed.

    Raises PlacingError where more was hit than placed.
    """
    for placed, hit in loads:
        if not (math.isfinite(placed) and placed > 0 and -_DUST_M2 <= hit <= placed + _DUST_M2):
            raise PlacingError("Of a load no more can be called back than was placed.")
    if not loads:
        return None
    n, area = len(loads), math.fsum(placed for placed, _ in loads)
    share = min(max(math.fsum(hit for _, hit in loads) / area, 0.0), 1.0)
    if n < FEWEST_LOADS:
        too_few = f"Too few for limits: {n} of at least {FEWEST_LOADS} loads."
        return AreaRate(share, n, area, reason=too_few)
    trials = _effective(loads, share, area)
    return AreaRate(share, n, area, *_limits(share, trials))


def _effective(loads: Sequence[tuple[float, float]], share: float, area: float) -> float:
    n, most = len(loads), area**2 / math.fsum(placed**2 for placed, _ in loads)
    off = math.fsum((hit - share * placed) ** 2 for placed, hit in loads)
    variance = n / (n - 1) * off / area**2
    if share in (0.0, 1.0) or variance == 0.0:
        return most
    return min(most, share * (1 - share) / variance)


def _limits(share: float, trials: float) -> tuple[float, float]:
    hits, misses = share * trials, (1 - share) * trials
    low = 0.0 if share == 0.0 else float(betaincinv(hits, misses + 1, 1 - CONFIDENCE))
    high = 1.0 if share == 1.0 else float(betaincinv(hits + 1, misses, CONFIDENCE))
    return low, high


def per_area(share: float, system: System) -> float:
    """Return a share as ft2 per 1 000 ft2, or m2 per 100 m2."""
    return share * _OF[system]


def per_area_unit(system: System) -> str:
    """Return in what `per_area` counts: "ft² per 1 000 ft²"."""
    return _UNIT[system]


def rate_words(rate: AreaRate, system: System) -> str:
    """Return "308 (91 to 640)", or the number and why it has no limits."""
    if rate.low is None or rate.high is None:
        return f"{_number(rate.share, system)}. {rate.reason}"
    low, high = _number(rate.low, system), _number(rate.high, system)
    return f"{_number(rate.share, system)} ({low} to {high})"


def _number(share: float, system: System) -> str:
    value = per_area(share, system)
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}"
