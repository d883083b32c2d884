"""What a method, or a machine, regained over a time: gains of many cleanings (N7) put together.

symbol  meaning
g       gain at a spot: rate after over rate before, both dry and near the cleaning
G       of a pavement: geometric mean over its cleanings of the geometric mean over their spots
n       pavements; the interval of their geometric mean is Student's with n - 1 degrees of freedom

Spots of one pavement are alike, and so are cleanings of one pavement: the pavement is what counts.
Under `certainty.FEWEST` pavements no mean is given, nor where one gain is a bound. A test more than
`cleaning_gain.NEAR_DAYS` days from the cleaning, or not shown to be dry, is left out and counted.
The unit and the interval are those of a visit (N5); that pavements are the unit is common practice,
no source.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from registry.measuring.certainty import (
    Certainty,
    TooFew,
    estimate_certainty,
    geometric_mean,
    t_quantile,
)
from registry.measuring.cleaning_gain import Gain, NoGain


@dataclass(frozen=True)
class CleaningGains:
    """One cleaning: at which pavement, by what, and what it gave at its spots."""

    pavement: int
    method: str
    machine: str
    gains: tuple[Gain | NoGain, ...]


@dataclass(frozen=True)
class MeanShare:
    """The regained share over n pavements: mean and 95 % interval, 1 is all that was lost."""

    n: int
    mean: float
    low: float
    high: float


@dataclass(frozen=True)
class MethodRecovery:
    """One method or machine.

    cleanings  all of them;  counted, pavements, spots  those with a gain that counts
    least, most  gains at spots, None where none counts
    left_out   reasons in words with how many spots each
    """

    cleanings: int
    counted: int
    pavements: int
    spots: int
    gain: Certainty | TooFew
    share: MeanShare | TooFew
    least: float | None
    most: float | None
    left_out: tuple[tuple[str, int], ...]


def recovery_of(rows: Iterable[CleaningGains]) -> MethodRecovery:
    """Put the gains of some cleanings together. Nothing is given below FEWEST pavements."""
    cleanings = tuple(rows)
    good = [(row, tuple(g for g in row.gains if not why_left_out(g))) for row in cleanings]
    good = [(row, gains) for row, gains in good if gains]
    factors = [g.factor for _, gains in good for g in gains if isinstance(g, Gain)]
    bounds = sum(bool(g.sign) for _, gains in good for g in gains if isinstance(g, Gain))
    of_pavement: dict[int, list[float]] = defaultdict(list)
    shares: dict[int, list[float]] = defaultdict(list)
    share_bounds = 0
    for row, gains in good:
        known = [g for g in gains if isinstance(g, Gain)]
        of_pavement[row.pavement].append(geometric_mean([g.factor for g in known]))
        given = [g for g in known if g.share is not None]
        share_bounds += sum(bool(g.share_sign) for g in given)
        if given:
            shares[row.pavement].append(sum(g.share or 0.0 for g in given) / len(given))
    means = [geometric_mean(of) for of in of_pavement.values()]
    return MethodRecovery(
        cleanings=len(cleanings),
        counted=len(good),
        pavements=len(means),
        spots=len(factors),
        gain=estimate_certainty(means, bounds=bounds),
        share=_mean_share([sum(of) / len(of) for of in shares.values()], share_bounds),
        least=min(factors, default=None),
        most=max(factors, default=None),
        left_out=_left_out(cleanings),
    )


def why_left_out(gain: Gain | NoGain) -> str:
    """Return why a gain does not count, "" if it does."""
    if isinstance(gain, NoGain):
        return gain.reason
    if "dry not shown" in gain.notes:
        return "The tests are not shown to be dry."
    if gain.notes:
        return "A test lies more than 14 days from the cleaning."
    return ""


def _left_out(cleanings: Iterable[CleaningGains]) -> tuple[tuple[str, int], ...]:
    found: dict[str, int] = defaultdict(int)
    for row in cleanings:
        if not row.gains:
            found["No test beside the cleaning."] += 1
        for gain in row.gains:
            why = why_left_out(gain)
            if why:
                found[why] += 1
    return tuple(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))


def _mean_share(shares: list[float], bounds: int) -> MeanShare | TooFew:
    """Mean of the pavements' shares with Student's interval, refused as a mean of rates is."""
    checked = estimate_certainty([1.0] * len(shares), bounds=bounds)
    if isinstance(checked, TooFew):
        return checked
    n = len(shares)
    mean = sum(shares) / n
    spread = (sum((share - mean) ** 2 for share in shares) / (n - 1)) ** 0.5
    half = t_quantile(0.975, n - 1) * spread / n**0.5
    return MeanShare(n, mean, mean - half, mean + half)
