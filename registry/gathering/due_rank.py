"""Rows of a pavement -> what its rank in the order of sweeping rests on (N26).

Months to the action level are those to the day of the fit, on which the worst place may lie below
it. A reserve of width whose bound leaves it open is not known. Travel depends on the crew and its
day: the list leaves it out.
"""

import math
from typing import Any

from registry.gathering.clogged_strip import StripWidth
from registry.gathering.due_rows import DueRows
from registry.measuring import WidthNeeded
from registry.planning.sweep_order import Candidate, sweep_order

DAYS_A_MONTH = 365.25 / 12


def candidate_of(
    rows: DueRows, *, is_below: bool | None, strip: StripWidth, missed: bool
) -> Candidate:
    """Return what the rank of one pavement rests on; no query is made."""
    areas = [area.area_m2 for area in rows.demand.on(rows.today).run_on]
    known = [area for area in areas if area is not None]
    return Candidate(
        ref=str(rows.pavement.pk),
        is_below=is_below,
        months_left=_months_left(rows),
        reserve=_reserve(strip),
        run_on_m2=sum(known) if known and len(known) == len(areas) else None,
        missed_window_before_frost=missed,
    )


def rank_columns(candidate: Candidate) -> dict[str, Any]:
    """Return the columns by which lists are put in the order of sweeping, and its reason."""
    (ranked,) = sweep_order([candidate])
    months = candidate.months_left
    return {
        "missed_window": candidate.missed_window_before_frost,
        "is_below": candidate.is_below,
        "is_level_far": months is not None and math.isinf(months),
        "months_left": None if months is None or math.isinf(months) else months,
        "reserve": candidate.reserve,
        "run_on_m2": candidate.run_on_m2,
        "rank_why": ranked.reason,
        "rank_open": list(ranked.not_known),
    }


def _months_left(rows: DueRows) -> float | None:
    """Return months to the day of the fit; inf where it comes in none of the years searched."""
    outlook = rows.outlook
    if outlook is None or outlook.fit_id is None:
        return None
    if outlook.sweep_by_on is None:
        return None if outlook.why_not else math.inf
    return max((outlook.sweep_by_on - rows.today).days, 0) / DAYS_A_MONTH


def _reserve(strip: StripWidth) -> float | None:
    width = strip.result
    return width.reserve if isinstance(width, WidthNeeded) and not width.sign else None
