"""The share of a pavement's surface below its action level, by stratum.

A place of the surface taken at random is a new spot: ln I = a + alpha - V (k + kappa + gamma),
gamma 0 away from the run-on edge, alpha ~ N(0, tau_a^2), kappa ~ N(0, tau_k^2), (a, k) as the
tests of the pavement leave them. The error of a test is not part of the surface. As everywhere,
all is conditional on its whole slope k + kappa + gamma >= 0.

symbol   meaning
s        a - V (k + gamma): ln of the rate of the stratum, its spots apart
u        ln I of a place taken at random
K        k + kappa + gamma
share    P(u < ln action | s, K >= 0), which falls as s rises

The expected share is P(u < ln action | K >= 0). Its interval is the share where s is at its own
high and low quantile, so it holds what is not known of the pavement and not how its spots differ.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.parameters import Parameters
from registry.decline.records import DRIVERS, Bools, Floats
from registry.decline.truncated import (
    LEAST_VARIANCE,
    Joint,
    Level,
    chance_below,
    level_at,
    quantile,
)

EDGE = DRIVERS.index("run_on_edge")


@dataclass(frozen=True, eq=False)
class Share:
    """The share below the action level of one stratum of each pavement, (P,); nan not decided."""

    expected: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class Shares:
    """Of the surface away from any run-on edge, and of a run-on edge, should there be one."""

    away: Share
    edge: Share

    def whole(self, edge_part: Floats) -> Share:
        """The share of the whole surface; edge_part (P,) is the edge's part of the area, 0 to 1.

        Both strata rise and fall with the same a - Vk, so their ends go together.
        """
        return Share(
            *(
                (1 - edge_part) * getattr(self.away, name) + edge_part * getattr(self.edge, name)
                for name in ("expected", "low", "high")
            )
        )


def shares_below(
    joint: Joint,
    age: Floats,
    ln_action: Floats,
    parameters: Parameters,
    band: tuple[float, float],
) -> Shares:
    """The shares of P pavements at effective ages, years; nan where age or action is nan.

    joint  of (a, k) of the pavements, away from the run-on edge;  band  quantiles of s
    """
    known = ~np.isnan(age) & ~np.isnan(ln_action)
    at, age, ln_action = joint.take(known), age[known], ln_action[known]
    edge = Joint(at.a, at.k + parameters.drivers[EDGE], at.aa, at.ak, at.kk)
    return Shares(
        *(
            _spread_out(_share_of(one, age, ln_action, parameters, band), known)
            for one in (at, edge)
        )
    )


def new_spot(joint: Joint, parameters: Parameters) -> Joint:
    """The joint normal of (a + alpha, k + kappa) of a place nobody has tested."""
    return Joint(
        joint.a,
        joint.k,
        joint.aa + parameters.tau_a**2,
        joint.ak,
        joint.kk + parameters.tau_k**2,
    )


def _share_of(
    joint: Joint, age: Floats, ln_action: Floats, parameters: Parameters, band: tuple[float, float]
) -> Share:
    place = new_spot(joint, parameters)
    low, high = band
    stratum = _stratum_level(joint, place, age)
    return Share(
        expected=chance_below(level_at(place, age), ln_action),
        low=_share_given(quantile(stratum, high), stratum, place, age, ln_action, parameters),
        high=_share_given(quantile(stratum, low), stratum, place, age, ln_action, parameters),
    )


def _stratum_level(joint: Joint, place: Joint, age: Floats) -> Level:
    """s beside K of one of its places: z and q are those of K."""
    own = level_at(joint, age)
    kept = np.sqrt(np.maximum(joint.kk, LEAST_VARIANCE) / np.maximum(place.kk, LEAST_VARIANCE))
    return Level(own.mean, own.sd, own.q * kept, place.z)


def _share_given(
    s: Floats,
    stratum: Level,
    place: Joint,
    age: Floats,
    ln_action: Floats,
    parameters: Parameters,
) -> Floats:
    """P(u < ln action | s, K >= 0): given s, u and K are two normals, and K's is narrower."""
    apart = np.sqrt(np.maximum(parameters.tau_a**2 + (age * parameters.tau_k) ** 2, LEAST_VARIANCE))
    sd = np.sqrt(np.maximum(place.kk, LEAST_VARIANCE))
    left = sd * np.sqrt(1 - stratum.q**2)
    mean = place.k + sd * stratum.q * (s - stratum.mean) / stratum.sd
    q = -age * parameters.tau_k**2 / (apart * left)
    given = Level(s, apart, np.clip(q, -1 + 1e-12, 1 - 1e-12), mean / left)
    return chance_below(given, ln_action)


def _spread_out(share: Share, known: Bools) -> Share:
    full = [np.full(len(known), np.nan) for _ in range(3)]
    for column, found in zip(full, (share.expected, share.low, share.high), strict=True):
        column[known] = found
    return Share(*full)
