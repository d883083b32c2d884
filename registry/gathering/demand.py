"""Rows of criteria and run-on areas -> the action level of a day, and what made it (N8, N10)."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.measuring.demand import (
    FACTOR,
    FLOOR_MM_H,
    Demand,
    RunOn,
    action_level,
    required_rate,
)
from registry.models import Criteria, Pavement, RunOnArea
from registry.once import kept


@dataclass(frozen=True)
class DemandOnDay:
    """What a pavement has to do on a day. `action_mm_h` is None with `reason` saying why.

    made_by      "given" in the document, "floor" or "required rate"
    demand       required rate and run-on ratio where they could be worked out
    no_demand    why they could not
    """

    on: date
    criteria: Criteria | None
    action_mm_h: float | None
    reason: str
    made_by: str = ""
    demand: Demand | None = None
    no_demand: str = ""
    run_on: tuple[RunOnArea, ...] = ()

    @property
    def is_run_on_assumed(self) -> bool:
        """Say whether "run-on assumed" has to stand beside the numbers."""
        assumed = self.criteria is not None and self.criteria.run_on_is_assumed
        return assumed or any(a.known_by == "assumed" for a in self.run_on)


@dataclass(frozen=True)
class DemandRows:
    """The dated rows of one pavement, as read; days are asked of them without a query."""

    area_m2: float | None
    criteria: tuple[Criteria, ...]
    run_on: tuple[RunOnArea, ...]

    def on(self, day: date) -> DemandOnDay:
        """Return what held on a day; each test is judged by the level of its day."""
        criteria = _latest(c for c in self.criteria if _holds(c, day) and c.section_id is None)
        run_on = tuple(a for a in self.run_on if _holds(a, day))
        if criteria is None:
            reason = "No design criteria are entered for this day."
            return DemandOnDay(day, None, None, reason, no_demand=reason, run_on=run_on)
        demand, why_not = _demand(criteria, self.area_m2, run_on)
        if criteria.action_rate_is_given and criteria.action_rate_mm_h is not None:
            return DemandOnDay(
                day, criteria, criteria.action_rate_mm_h, "", "given", demand, why_not, run_on
            )
        required = demand.required_mm_h if demand else criteria.required_rate_mm_h
        if required is None:
            return DemandOnDay(day, criteria, None, why_not, no_demand=why_not, run_on=run_on)
        level = action_level(
            required,
            floor_mm_h=FLOOR_MM_H if criteria.floor_mm_h is None else criteria.floor_mm_h,
            factor=FACTOR if criteria.factor is None else criteria.factor,
        )
        return DemandOnDay(day, criteria, level.mm_h, "", level.made_by, demand, why_not, run_on)

    def changes_after(self, day: date) -> date | None:
        """Return the first later day on which a set of criteria or a run-on area begins or ends."""
        days = [d for row in self.criteria for d in (row.from_on, row.to_on)]
        days += [d for area in self.run_on for d in (area.from_on, area.to_on)]
        return min((d for d in days if d is not None and d > day), default=None)

    def spans(self, first: date, last: date) -> tuple[DemandOnDay, ...]:
        """Return the demand at `first` and on each day up to `last` on which a row changes."""
        days = {first}
        changes = [d for row in self.criteria for d in (row.from_on, row.to_on)]
        changes += [d for row in self.run_on for d in (row.from_on, row.to_on)]
        days |= {d for d in changes if d and first < d <= last}
        return tuple(self.on(day) for day in sorted(days))


def demand_rows(pavement: Pavement) -> DemandRows:
    """Return the criteria and run-on rows of a pavement (two queries)."""
    criteria, run_on = kept(
        ("demand", pavement.pk),
        lambda: (tuple(pavement.criteria.standing()), tuple(pavement.run_on_areas.standing())),
    )
    return DemandRows(area_m2=pavement.area_m2, criteria=criteria, run_on=run_on)


def _holds(row: Criteria | RunOnArea, day: date) -> bool:
    begun = row.from_on is None or row.from_on <= day
    return begun and (row.to_on is None or day < row.to_on)


def _latest(rows: Iterable[Criteria]) -> Criteria | None:
    return max(rows, key=lambda c: (c.from_on or date.min, c.pk or 0), default=None)


def _demand(
    criteria: Criteria, area_m2: float | None, run_on: Sequence[RunOnArea]
) -> tuple[Demand | None, str]:
    if criteria.intensity_mm_h is None:
        return None, "The design intensity is not known."
    if area_m2 is None:
        return None, "The area of the pavement is not known."
    unknown = [a for a in run_on if a.area_m2 is None or a.runoff_coefficient is None]
    if unknown:
        return None, f"Area or runoff coefficient of the run-on “{unknown[0]}” is not known."
    areas = [
        RunOn(
            area_m2=a.area_m2 or 0.0,
            coefficient=a.runoff_coefficient or 0.0,
            paved=not a.is_soil,
            in_doubt=a.known_by == "assumed",
        )
        for a in run_on
    ]
    return required_rate(criteria.intensity_mm_h, area_m2, areas), ""
