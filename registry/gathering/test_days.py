"""The tests of one day at a pavement, summed up: by stratum, the whole, and how sure (N4, N5)."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from registry.gathering.demand import DemandOnDay, DemandRows
from registry.gathering.spot_days import SpotDay, spot_days
from registry.measuring.certainty import (
    Certainty,
    ShareBelow,
    TooFew,
    estimate_certainty,
    share_below,
)
from registry.measuring.reading import Stratum
from registry.measuring.spots import required_spot_count
from registry.measuring.summary import SpotValue, VisitSummary, summarise_visit
from registry.models import InfiltrationTest, Pavement
from registry.units import Kind, System, from_si


@dataclass(frozen=True)
class TestDay:
    """One day of tests. `required_count` is None where the area is not known; rates in mm/h."""

    __test__ = False

    on: date
    rows: tuple[InfiltrationTest, ...]
    days: tuple[SpotDay, ...]
    summary: VisitSummary
    certainty: Certainty | TooFew
    share: ShareBelow | TooFew
    demand: DemandOnDay
    required_count: int | None
    counted_in: System

    @property
    def is_short(self) -> bool:
        """Say whether fewer spots were tested than the method asks for."""
        spots = {day.spot.pk for day in self.days}
        return self.required_count is not None and len(spots) < self.required_count


def test_days(
    pavement: Pavement, rows: Iterable[InfiltrationTest], demand: DemandRows
) -> tuple[TestDay, ...]:
    """Return the days of tests, newest first; each is judged by the action level of its day.

    `rows` fetched with their spots. Strata areas are asked for once.
    """
    by_day: dict[date, list[InfiltrationTest]] = defaultdict(list)
    for row in rows:
        by_day[row.started_on].append(row)
    areas = {
        Stratum(kind): area
        for kind, area in pavement.strata.standing().values_list("kind", "area_m2")
        if area is not None
    }
    return tuple(
        _test_day(pavement, on, by_day[on], areas, demand) for on in sorted(by_day, reverse=True)
    )


test_days.__test__ = False  # type: ignore[attr-defined]


def _test_day(
    pavement: Pavement,
    on: date,
    rows: list[InfiltrationTest],
    areas_m2: dict[Stratum, float],
    demand: DemandRows,
) -> TestDay:
    days = spot_days(rows)
    level = demand.on(on)
    values = [
        SpotValue(day.spot.name, Stratum(day.stratum or "other"), mm_h, sign)
        for day in days
        for mm_h, sign in day.values
    ]
    numbers = [v.mm_h for v in values if not v.sign]
    signed = [(v.mm_h, v.sign) for v in values]
    system = System(pavement.sheet_system)
    return TestDay(
        on=on,
        rows=tuple(sorted(rows, key=lambda r: (r.spot.name, r.run, r.pk))),
        days=days,
        summary=summarise_visit(values, areas_m2, action_mm_h=level.action_mm_h),
        certainty=estimate_certainty(numbers, bounds=len(values) - len(numbers)),
        share=_share(signed, level),
        demand=level,
        required_count=_required(pavement, system),
        counted_in=system,
    )


def _share(signed: list[tuple[float, str]], level: DemandOnDay) -> ShareBelow | TooFew:
    if level.action_mm_h is None:
        return TooFew(len(signed), "no_level", level.reason)
    return share_below(signed, level.action_mm_h)


def _required(pavement: Pavement, system: System) -> int | None:
    if pavement.area_m2 is None:
        return None
    return required_spot_count(from_si(pavement.area_m2, Kind.AREA, system), system)
