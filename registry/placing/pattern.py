"""Does raveling follow what happened to the loads? (N18)

One value a load, Kendall's tau-b with p from shuffling the loads, how many factors were tried,
and which of them move together, so that the numbers cannot tell them apart. It shows a pattern;
it names no cause and nobody liable.

Shares and factors are compared as they are shown (a load's raveled share to 0.1 point, a lag to
the minute): a difference finer than anybody measured is a tie. House rule, no source.

A number known only as a least one ("at least 0.314") is never compared as if it were the number:
its load is left out for that factor, and how many were is said beside the value.
"""

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from registry.placing.faults import PlacingError
from registry.placing.tau import shuffled_p, tau_b

FEWEST_LOADS = 8
SHUFFLES = 20_000
SEED = 20230822
"""Of the shuffling, on pages, paper and in dossiers alike; it stands beside every p."""
TOGETHER = 0.5
"""Mutual |tau-b| from which two factors count as moving together. House rule, no source."""


@dataclass(frozen=True)
class Factor:
    """Something of the placing day that each load has a number of, shown to `decimals`."""

    code: str
    label: str
    unit: str
    decimals: int


LAG = Factor("lag", "longest time from discharge to cover", "min", 0)
WAIT = Factor("wait", "time from batch to discharge", "min", 0)
EVAPORATION = Factor("evaporation", "evaporation", "", 3)
WATER = Factor("water", "w/cm", "", 3)
DENSITY = Factor("density", "fresh density", "", 1)
AIR = Factor("air", "air temperature", "", 0)
FACTORS = (LAG, WAIT, EVAPORATION, WATER, DENSITY, AIR)
"""In the order in which they are tried: lag first."""


@dataclass(frozen=True)
class LoadRow:
    """One load: its raveled share or the change of it, 0 to 1, and its numbers by factor code.

    None where it was not measured or may not be given. bounds: codes of factors of which only a
    least number is known; they are left out of what is compared.
    """

    load: str
    outcome: float | None
    factors: Mapping[str, float | None]
    bounds: frozenset[str] = frozenset()

    def number(self, code: str) -> float | None:
        """The number of a factor that may be compared, or None."""
        return None if code in self.bounds else self.factors.get(code)


@dataclass(frozen=True)
class FactorLine:
    """One factor over n loads; tau and p are None where `reason` says why.

    bounds  loads left out because only a least number of theirs is known
    """

    factor: Factor
    n: int
    tau: float | None = None
    p: float | None = None
    reason: str = ""
    bounds: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """ "0.69 (p under 0.001, 18 loads)", or the reason; and which loads were left out."""
        if self.tau is None or self.p is None:
            return " ".join(filter(None, (self.reason, self.bounds_words)))
        p = "under 0.001" if self.p < 0.001 else f"{self.p:.2g}"
        left = f". {self.bounds_words}" if self.bounds else ""
        return f"{self.tau:.2f} (p {p}, {self.n} loads){left}"

    @property
    def bounds_words(self) -> str:
        """ "2 loads left out (3, 4): only a least number is known.", or nothing."""
        if not self.bounds:
            return ""
        word = "load" if len(self.bounds) == 1 else "loads"
        return (
            f"{len(self.bounds)} {word} left out ({', '.join(self.bounds)}): of "
            f"{self.factor.label} only a least number is known."
        )


@dataclass(frozen=True)
class Together:
    """Two factors that move together over the same loads."""

    one: Factor
    other: Factor
    tau: float

    @property
    def words(self) -> str:
        return (
            f"{self.one.label} and {self.other.label} move together (tau {self.tau:.2f}): these "
            "loads cannot tell them apart."
        )


@dataclass(frozen=True)
class Pattern:
    """What N18 gives.

    lines      one a factor tried, in the order tried
    together   pairs of factors that cannot be told apart
    left_out   loads without an outcome
    """

    loads: tuple[str, ...]
    lines: tuple[FactorLine, ...]
    together: tuple[Together, ...]
    left_out: tuple[str, ...]
    seed: int
    shuffles: int

    @property
    def tried_words(self) -> str:
        """How many factors were tried, always to be shown."""
        listed = ", ".join(line.factor.label for line in self.lines)
        word = "factor" if len(self.lines) == 1 else "factors"
        return f"{len(self.lines)} {word} tried: {listed}."


def pattern(
    rows: Sequence[LoadRow],
    factors: Sequence[Factor],
    *,
    seed: int,
    shuffles: int = SHUFFLES,
    outcome_decimals: int = 3,
) -> Pattern:
    """N18 of each factor, one value a load.

    outcome_decimals  the shares are compared to so many decimals; 6 compares them as worked out,
                      the noise of arithmetic apart
    Raises PlacingError where a load stands twice: panels of a load are no trials of their own.
    """
    twice = [load for load, count in Counter(row.load for row in rows).items() if count > 1]
    if twice:
        raise PlacingError(
            f"Load {twice[0]} stands there more than once. Give one value a load: panels of one "
            "load are not separate trials."
        )
    with_outcome = [row for row in rows if row.outcome is not None]
    lines = tuple(_line(with_outcome, f, seed, shuffles, outcome_decimals) for f in factors)
    left_out = tuple(row.load for row in rows if row.outcome is None)
    loads = tuple(row.load for row in with_outcome)
    return Pattern(loads, lines, tuple(_together(with_outcome, factors)), left_out, seed, shuffles)


def _line(
    rows: Sequence[LoadRow], factor: Factor, seed: int, shuffles: int, decimals: int
) -> FactorLine:
    pairs = [
        (_rounded(row.outcome, decimals), _rounded(value, factor.decimals))
        for row in rows
        if row.outcome is not None and (value := row.number(factor.code)) is not None
    ]
    n = len(pairs)
    bounds = tuple(row.load for row in rows if factor.code in row.bounds)
    line = FactorLine(factor, n, bounds=bounds)
    if n < FEWEST_LOADS:
        return replace(line, reason=f"Too few: {n} of at least {FEWEST_LOADS} loads.")
    outcome, values = zip(*pairs, strict=True)
    tau = tau_b(outcome, values)
    if tau is None:
        return replace(line, reason="All loads are alike in it, so it shows nothing.")
    return replace(line, tau=tau, p=shuffled_p(outcome, values, seed=seed, shuffles=shuffles))


def _together(rows: Sequence[LoadRow], factors: Sequence[Factor]) -> Iterable[Together]:
    for one, other in itertools.combinations(factors, 2):
        pairs = [
            (_rounded(a, one.decimals), _rounded(b, other.decimals))
            for row in rows
            if (a := row.number(one.code)) is not None and (b := row.number(other.code)) is not None
        ]
        if len(pairs) < FEWEST_LOADS:
            continue
        tau = tau_b(*zip(*pairs, strict=True))
        if tau is not None and abs(tau) >= TOGETHER:
            yield Together(one, other, tau)


def _rounded(value: float, decimals: int) -> float:
    if not math.isfinite(value):
        raise PlacingError("Only numbers can be compared.")
    return round(value, decimals)
