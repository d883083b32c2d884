"""What share of the surface the random spots of the last visit leave below the action level.

Only random spots are a sample of the surface: fixed points are chosen, so their count says nothing
of the rest. The limit is exact (Clopper and Pearson 1934, `measuring.certainty`).
"""

from dataclasses import dataclass
from datetime import date

from registry.gathering.condition import PavementCondition
from registry.gathering.spot_days import SpotDay
from registry.measuring.certainty import ShareBelow, binomial_upper, is_below
from registry.measuring.reading import Stratum

NO_LEVEL = "Not decided: the action level is not known."
NO_RANDOM = (
    "Not decided: no random spot was tested on that day. Fixed points are chosen, so they are no "
    "sample of the surface."
)


@dataclass(frozen=True)
class MeasuredShare:
    """Of one visit: by stratum, "" where a spot has none. `why_not` stands in place of numbers."""

    on: date
    action_mm_h: float | None
    strata: tuple[tuple[str, ShareBelow], ...] = ()
    why_not: str = ""


def measured_share(condition: PavementCondition) -> MeasuredShare | None:
    """Return the share measured at the last visit, by today's action level; None without one."""
    if not condition.days:
        return None
    on, level = condition.days[-1].on, condition.demand.action_mm_h
    if level is None:
        return MeasuredShare(on, None, why_not=condition.demand.reason or NO_LEVEL)
    # The later of two results of one spot on a day, as after a cleaning, is today's surface.
    last = {day.spot.pk: day for day in condition.days if day.on == on and not day.spot.is_fixed}
    if not last:
        return MeasuredShare(on, level, why_not=NO_RANDOM)
    kinds = [kind.value for kind in Stratum] + [""]
    by_kind = {kind: [d for d in last.values() if d.stratum == kind] for kind in kinds}
    found = tuple((kind, _share(days, level)) for kind, days in by_kind.items() if days)
    return MeasuredShare(on, level, found)


def _share(days: list[SpotDay], level: float) -> ShareBelow:
    """Each spot counts once; one whose results do not agree or straddle is undecided."""
    states = [{is_below(mm_h, sign, level) for mm_h, sign in day.values} for day in days]
    below = states.count({True})
    undecided = len(states) - below - states.count({False})
    return ShareBelow(len(days), below, undecided, binomial_upper(below + undecided, len(days)))
