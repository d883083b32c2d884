"""How large a pavement is (number N32), and how well the measures close.

Three ways: panels summed, tape by rectangles and triangles, corner coordinates. Each result
says its closing error; above 2 % of misclosure no area is given (house rule, no source).
"""

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from shapely import Polygon

from registry.plan.faults import PlanError
from registry.plan.panels import Panel, area_on
from registry.plan.points import Point

MOST_MISCLOSURE = 0.02


@dataclass(frozen=True)
class FoundArea:
    """An area and how it was found.

    area_m2: None when the misclosure is over 2 %; `reason` then says why in its place.
    misclosure: closing error as a share; None where the measures give no check.
    closing_error_m: the gap of a traverse, metres; None for other ways.
    """

    how: str
    area_m2: float | None
    misclosure: float | None = None
    closing_error_m: float | None = None
    reason: str = ""


def _judged(
    how: str, area_m2: float, misclosure: float | None, closing_error_m: float | None = None
) -> FoundArea:
    if misclosure is not None and misclosure > MOST_MISCLOSURE:
        reason = f"the measures miss each other by {100 * misclosure:.1f} %, over 2 %"
        return FoundArea(how, None, misclosure, closing_error_m, reason)
    return FoundArea(how, area_m2, misclosure, closing_error_m)


def by_panels(panels: Iterable[Panel], on: date, outline: Sequence[Point] = ()) -> FoundArea:
    """Panels of a day summed; checked against the area of the outline where there is one."""
    area = area_on(panels, on)
    if not outline:
        return FoundArea("panels", area)
    around = Polygon(outline).area
    return _judged("panels", area, abs(area - around) / around)


def rectangle_m2(length_m: float, width_m: float) -> float:
    """A taped rectangle."""
    if not (length_m > 0 and width_m > 0):
        raise PlanError("A rectangle needs two sides above 0.")
    return length_m * width_m


def triangle_m2(a_m: float, b_m: float, c_m: float) -> float:
    """A triangle from its three taped sides (Heron). Raises PlanError if they do not meet."""
    short, middle, long = sorted((a_m, b_m, c_m))
    if not short > 0:
        raise PlanError("A triangle needs three sides above 0.")
    if long >= short + middle:
        raise PlanError("These three sides do not meet in a triangle; tape them again.")
    # Kahan's order of the terms keeps thin triangles exact.
    product = (
        (long + (middle + short))
        * (short - (long - middle))
        * (short + (long - middle))
        * (long + (middle - short))
    )
    return math.sqrt(product) / 4


def by_tape(pieces: Sequence[float], again: Sequence[float] = ()) -> FoundArea:
    """Taped rectangles and triangles summed, m2.

    again: the same pavement split another way (the other diagonal, say); their difference is
    the closing error. Without it the area stands unchecked.
    """
    if not pieces:
        raise PlanError("Tape at least one rectangle or triangle.")
    area = math.fsum(pieces)
    if not again:
        return FoundArea("tape", area)
    second = math.fsum(again)
    mean = (area + second) / 2
    return _judged("tape", mean, abs(area - second) / mean)


def by_corners(corners: Sequence[Point], closing: Point | None = None) -> FoundArea:
    """Corner coordinates in order, metres, by the shoelace rule.

    closing: the first corner measured again at the end. The gap is spread over the corners in
    proportion to the way walked (compass rule), and the misclosure is gap / perimeter.
    """
    if len(corners) < 3:
        raise PlanError("An area has at least three corners.")
    walked = [*corners, closing if closing is not None else corners[0]]
    ways = [math.dist(*pair) for pair in itertools.pairwise(walked)]
    perimeter = math.fsum(ways)
    gap = (walked[-1][0] - corners[0][0], walked[-1][1] - corners[0][1])
    moved, so_far = [], 0.0
    for corner, way in zip(corners, ways, strict=True):
        share = so_far / perimeter
        moved.append((corner[0] - share * gap[0], corner[1] - share * gap[1]))
        so_far += way
    outline = Polygon(moved)
    if not outline.is_valid or outline.area == 0:
        raise PlanError("The corners do not go round the pavement once; check their order.")
    if closing is None:
        return FoundArea("corners", outline.area)
    error = math.hypot(*gap)
    return _judged("corners", outline.area, error / perimeter, error)
