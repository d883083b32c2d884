"""A clogged strip at the run-on edge -> width needed against width left (N9), or what is missing.

Across a strip the width left counts; a strip is longer than wide, so that its outline on the plan
says which way it runs. The newest test of each spot counts, the lowest spot of a stratum decides.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.faults import DomainError
from registry.gathering.demand import DemandOnDay
from registry.gathering.spot_days import SpotDay
from registry.measuring import NoWidth, WidthNeeded, width_needed
from registry.models import Defect, Observation, Panel, RunOnArea
from registry.models.choices import StratumKind

Extent = tuple[float, float]
"""From and to, metres."""


@dataclass(frozen=True)
class StripRows:
    """What N9 is made of on a day: open defects with their looks, panels there, usable days."""

    defects: Sequence[Defect]
    panels: Sequence[Panel]
    days: Sequence[SpotDay]
    demand: DemandOnDay

    @property
    def today(self) -> date:
        """Return the day that it is worked out for."""
        return self.demand.on


@dataclass(frozen=True)
class StripWidth:
    """`result` is None where `why` says what keeps it from being worked out."""

    result: WidthNeeded | NoWidth | None
    why: str = ""
    missing: str = ""


class _MissingError(Exception):
    """A fact that is not on record: why, and what is asked for."""


def strip_width(rows: StripRows) -> StripWidth:
    """Return N9 for the widest clogged strip at the run-on edge of one pavement."""
    try:
        return StripWidth(_worked_out(rows))
    except _MissingError as missing:
        return StripWidth(None, *missing.args)
    except DomainError as fault:
        return StripWidth(None, fault.message, "clogged strip, N9")


def _worked_out(rows: StripRows) -> WidthNeeded | NoWidth:
    defect, look = _strip(rows)
    demand, days = rows.demand, rows.days
    strip_mm_h, strip_sign = _lowest(days, StratumKind.RUN_ON_EDGE, "clogged strip")
    field_mm_h, field_sign = _lowest(days, StratumKind.FIELD, "field beyond the strip")
    return width_needed(
        intensity_mm_h=_intensity(demand),
        effective_run_on_m=_effective_run_on(demand.run_on),
        strip_width_m=look.width_m or 0.0,
        strip_rate_mm_h=strip_mm_h,
        field_rate_mm_h=field_mm_h,
        width_m=_width_across(defect, rows.panels),
        strip_sign=strip_sign,
        field_sign=field_sign,
    )


def _strip(rows: StripRows) -> tuple[Defect, Observation]:
    found = []
    for defect in rows.defects:
        look = _last_look(defect, rows.today) if defect.kind == "clogged" else None
        if look is not None and look.is_at_run_on_edge and look.width_m is not None:
            found.append((defect, look))
    if not found:
        words = "No clogged strip at the run-on edge is on record with its width."
        raise _MissingError(words, "width of the clogged strip")
    return max(found, key=lambda pair: (pair[1].width_m or 0.0, pair[0].pk))


def _last_look(defect: Defect, today: date) -> Observation | None:
    """The last look that tells its width, or that it lies elsewhere than at the run-on edge."""
    looks = [
        look
        for look in defect.observations.all()
        if look.found == "found"
        and (look.width_m is not None or look.is_at_run_on_edge is False)
        and not look.is_void
        and look.double_of_id is None
        and look.seen_on <= today
    ]
    return max(looks, key=lambda look: (look.seen_on, look.pk), default=None)


def _lowest(days: Iterable[SpotDay], stratum: str, where: str) -> tuple[float, str]:
    newest = {day.spot.pk: day for day in days if day.stratum == stratum}
    values = [value for day in newest.values() for value in day.values]
    if not values:
        raise _MissingError(f"The rate of the {where} is not known.", f"test of the {where}")
    return min(values)


def _intensity(demand: DemandOnDay) -> float:
    if demand.criteria is None or demand.criteria.intensity_mm_h is None:
        raise _MissingError("The design intensity is not known.", "design intensity")
    return demand.criteria.intensity_mm_h


def _effective_run_on(areas: Iterable[RunOnArea]) -> float:
    """Return C L of all run-on that enters along the edge as a sheet of water."""
    areas = tuple(areas)
    if not areas:
        raise _MissingError("No run-on area is on record.", "run-on area")
    if any(area.is_channelled for area in areas):
        raise _MissingError("Run-on comes in a channel, not along an edge.", "run-on along an edge")
    if len({area.enters.strip().casefold() for area in areas}) > 1:
        words = "The run-on areas are not written to enter along one edge."
        raise _MissingError(words, "where run-on enters")
    if any(area.flow_length_m is None or area.runoff_coefficient is None for area in areas):
        words = "Flow length or runoff coefficient of a run-on area is not known."
        raise _MissingError(words, "flow length and runoff coefficient")
    return sum((area.flow_length_m or 0.0) * (area.runoff_coefficient or 0.0) for area in areas)


def _width_across(defect: Defect, panels: Iterable[Panel]) -> float:
    """Return the width of the plan across the strip, over the panels beside its length."""
    rights = [right for right, _ in defect.outline]
    ups = [up for _, up in defect.outline]
    if defect.outline_kind != "area" or defect.is_provisional:
        raise _MissingError("The clogged strip has no outline on the plan.", "outline of the strip")
    wide, long = max(rights) - min(rights), max(ups) - min(ups)
    if wide == long:
        raise _MissingError("Which way the strip runs is not told.", "outline of the strip")
    along = (min(ups), max(ups)) if long > wide else (min(rights), max(rights))
    beside: list[Extent] = []
    for panel in panels:
        right = (panel.right_m, panel.right_m + panel.width_m)
        up = (panel.up_m, panel.up_m + panel.length_m)
        length, across = (up, right) if long > wide else (right, up)
        if length[0] < along[1] and along[0] < length[1]:
            beside.append(across)
    if not beside:
        raise _MissingError("No panel lies beside the clogged strip.", "panel plan")
    return max(to for _, to in beside) - min(start for start, _ in beside)
