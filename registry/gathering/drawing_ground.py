"""The ground that random spots are drawn on: strata, what no ring can stand on, fixed points."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from registry.measuring.reading import Stratum as StratumName
from registry.measuring.spots import (
    Blocked,
    FixedPoint,
    Rectangle,
    SpotError,
    StratumPlan,
    least_counts,
    required_spot_count,
)
from registry.models import Pavement, Stratum
from registry.plan.features import FeatureKind
from registry.plan.layout import Layout
from registry.units import Kind, System, from_si

LINE_M = 0.01
"""How wide a joint is taken to be; the ring keeps its own radius away from it."""
AROUND_M = 0.3
"""How far from the middle of a drain, well or cleanout no ring stands."""
STANDS_IN_THE_WAY = {
    FeatureKind.DRAIN: "drain",
    FeatureKind.WELL: "well",
    FeatureKind.OVERFLOW: "overflow",
    FeatureKind.CLEANOUT: "cleanout",
}


@dataclass(frozen=True)
class DrawingGround:
    """What a draw needs beside its seed. `required` spots, counted by the rule in `counted_in`."""

    strata: tuple[StratumPlan, ...]
    blocked: tuple[Blocked, ...]
    fixed: tuple[FixedPoint, ...]
    required: int
    counted_in: System

    @property
    def least(self) -> dict[StratumName, int]:
        """Return how many each stratum takes at least."""
        return least_counts(self.strata)

    @property
    def proposed(self) -> dict[StratumName, int]:
        """Return counts that add up to what is required, larger strata taking more."""
        counts = self.least
        while sum(counts.values()) < self.required:
            thinnest = max(self.strata, key=lambda s: s.area_m2 / counts[s.stratum])
            counts[thinnest.stratum] += 1
        return counts


def drawing_ground(pavement: Pavement, layout: Layout | None, *, on: date) -> DrawingGround:
    """Read the ground from the record. Raises SpotError with what has to be written down first."""
    if pavement.area_m2 is None:
        raise SpotError("The area of the pavement is not known, so no number of spots is required.")
    rows = list(pavement.strata.standing().order_by("pk"))
    if not rows:
        raise SpotError("No strata are on record. Write down at least one, with its place.")
    without = [str(row) for row in rows if not row.rectangles]
    if without:
        raise SpotError(f"Write down where on the plan this lies first: {', '.join(without)}.")
    system = System(pavement.sheet_system)
    area = from_si(pavement.area_m2, Kind.AREA, system)
    return DrawingGround(
        strata=tuple(_plan(row) for row in rows),
        blocked=blocked_by_plan(layout, on) if layout else (),
        fixed=_fixed(pavement),
        required=required_spot_count(area, system),
        counted_in=system,
    )


def _plan(row: Stratum) -> StratumPlan:
    rectangles = tuple(Rectangle(*map(float, sides)) for sides in row.rectangles)
    return StratumPlan(StratumName(row.kind), rectangles)


def _fixed(pavement: Pavement) -> tuple[FixedPoint, ...]:
    spots = pavement.spots.fixed().filter(right_m__isnull=False, up_m__isnull=False)
    return tuple(FixedPoint(s.name, s.right_m, s.up_m) for s in spots)


def blocked_by_plan(layout: Layout, on: date) -> tuple[Blocked, ...]:
    """Return joints and edges of panels, drains and wells: no ring is sealed across them."""
    blocked = [
        Blocked(side, f"on a joint or edge of {panel.name}")
        for panel in layout.panels_on(on)
        for side in _sides(panel.polygon.bounds)
    ]
    for feature in layout.features_on(on):
        word = STANDS_IN_THE_WAY.get(feature.kind)
        if word is not None:
            right_m, up_m = feature.points[0]
            place = Rectangle(right_m - AROUND_M, up_m - AROUND_M, 2 * AROUND_M, 2 * AROUND_M)
            blocked.append(Blocked(place, f"at the {word} {feature.name}"))
    return tuple(blocked)


def _sides(bounds: Iterable[float]) -> tuple[Rectangle, ...]:
    left, low, right, high = bounds
    width, length, half = right - left, high - low, LINE_M / 2
    return (
        Rectangle(left - half, low, LINE_M, length),
        Rectangle(right - half, low, LINE_M, length),
        Rectangle(left, low - half, width, LINE_M),
        Rectangle(left, high - half, width, LINE_M),
    )
