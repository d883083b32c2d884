"""One visit in numbers (N4): each stratum by itself, and the whole weighted by area.

ASTM C1701/C1701M averages several spots, but an average hides the clogged edge: mean and lowest
go together. A mean is not given if any value is a bound; a median only if fewer than half are.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, median

from registry.measuring.certainty import InvalidSample, is_below
from registry.measuring.reading import Stratum


@dataclass(frozen=True)
class SpotValue:
    """One usable result of the visit, mm/h with its sign."""

    spot: str
    stratum: Stratum
    mm_h: float
    sign: str = ""


@dataclass(frozen=True)
class StratumSummary:
    """mean and median are None where they may not be given; `reason` then says why.

    lowest     the lowest value, a bound with its sign
    n_below    number known to be below the action level;  n_undecided  bounds that straddle it;
               both None if there is no action level
    """

    stratum: Stratum
    n: int
    n_bounds: int
    mean_mm_h: float | None
    median_mm_h: float | None
    lowest: SpotValue
    n_below: int | None
    n_undecided: int | None
    reason: str


@dataclass(frozen=True)
class VisitSummary:
    """The strata in the order of `Stratum`, and the whole.

    mean_mm_h   area-weighted mean of the strata's means, None where it may not be given
    lowest      None if there is no result at all
    """

    strata: tuple[StratumSummary, ...]
    mean_mm_h: float | None
    lowest: SpotValue | None
    reason: str


def summarise_visit(
    values: Sequence[SpotValue],
    areas_m2: Mapping[Stratum, float],
    *,
    action_mm_h: float | None = None,
) -> VisitSummary:
    """N4 for the usable results of one visit.

    areas_m2     area of every stratum that is there, m2; one without a result withholds the
                 whole's mean, since an average over a part of the pavement is no average of it
    action_mm_h  the action level of that day, None if not known
    """
    if any(area <= 0 for area in areas_m2.values()):
        raise InvalidSample("Every stratum needs an area above zero.")
    strata = tuple(
        _summarise_stratum(stratum, [v for v in values if v.stratum is stratum], action_mm_h)
        for stratum in Stratum
        if any(v.stratum is stratum for v in values)
    )
    if not strata:
        return VisitSummary((), None, None, "No results.")
    lowest = min((s.lowest for s in strata), key=_lowness)
    means: dict[Stratum, float] = {
        s.stratum: s.mean_mm_h for s in strata if s.mean_mm_h is not None
    }
    reason = _why_no_whole(strata, means, areas_m2)
    if reason:
        return VisitSummary(strata, None, lowest, reason)
    whole = sum(areas_m2[s] * means[s] for s in means) / sum(areas_m2[s] for s in means)
    return VisitSummary(strata, whole, lowest, "")


def _summarise_stratum(
    stratum: Stratum, values: Sequence[SpotValue], action_mm_h: float | None
) -> StratumSummary:
    bounds = sum(1 for v in values if v.sign)
    below = undecided = None
    if action_mm_h is not None:
        states = [is_below(v.mm_h, v.sign, action_mm_h) for v in values]
        below, undecided = states.count(True), states.count(None)
    return StratumSummary(
        stratum=stratum,
        n=len(values),
        n_bounds=bounds,
        mean_mm_h=None if bounds else fmean(v.mm_h for v in values),
        median_mm_h=_median(values, bounds),
        lowest=min(values, key=_lowness),
        n_below=below,
        n_undecided=undecided,
        reason="No mean: some values are bounds." if bounds else "",
    )


def _median(values: Sequence[SpotValue], bounds: int) -> float | None:
    """The median, if it does not rest on a bound.

    Fewer than half may be bounds; and it must stay the same wherever their true values lie:
    with every "<" at zero and every ">" without end.
    """
    if 2 * bounds >= len(values):
        return None
    ends = {"<": 0.0, ">": float("inf")}
    stated = median(v.mm_h for v in values)
    return stated if stated == median(ends.get(v.sign, v.mm_h) for v in values) else None


def _lowness(value: SpotValue) -> tuple[float, bool]:
    return value.mm_h, value.sign != "<"


def _why_no_whole(
    strata: Sequence[StratumSummary],
    means: Mapping[Stratum, float],
    areas_m2: Mapping[Stratum, float],
) -> str:
    if len(means) < len(strata):
        return "No mean of the whole: some values are bounds."
    without_area = [s.stratum for s in strata if s.stratum not in areas_m2]
    if without_area:
        return f"No mean of the whole: the area of “{without_area[0].words}” is not written down."
    untested = [stratum for stratum in areas_m2 if stratum not in means]
    if untested:
        return f"No mean of the whole: “{untested[0].words}” was not tested."
    return ""
