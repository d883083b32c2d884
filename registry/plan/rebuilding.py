"""Finding a lost datum again: from its ties, or from joints that are still there.

Positions here are in any flat frame the crew can measure in (a tape line along the curb,
say), in metres; x to the right and y up when facing along it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from registry.plan.faults import PlanError
from registry.plan.points import Point


@dataclass(frozen=True)
class RebuiltDatum:
    """Both places where the two tie lengths meet, and by how much they miss each other.

    misfit_m: 0 when the circles cross; else the gap left between them, to be written on the plan.
    """

    candidates: tuple[Point, Point]
    misfit_m: float


def from_ties(first: Point, first_m: float, second: Point, second_m: float) -> RebuiltDatum:
    """Where the datum was: two fixed objects in a flat frame and the tie lengths, metres.

    Two circles cross twice; which of the two is the datum is seen on the ground. When they
    do not reach each other, both candidates are the point that shares the gap evenly.
    """
    apart = math.dist(first, second)
    if apart == 0:
        raise PlanError("Both ties go to the same point, so they cannot find the datum.")
    if not (first_m > 0 and second_m > 0):
        raise PlanError("Tie lengths are above 0.")
    along_x, along_y = (second[0] - first[0]) / apart, (second[1] - first[1]) / apart
    gap = max(apart - first_m - second_m, abs(first_m - second_m) - apart, 0.0)
    if gap > 0:
        along, across = _nearest_on_line(first_m, second_m, apart), 0.0
    else:
        along = (first_m**2 - second_m**2 + apart**2) / (2 * apart)
        across = math.sqrt(max(first_m**2 - along**2, 0.0))
    foot = (first[0] + along * along_x, first[1] + along * along_y)
    return RebuiltDatum(
        (
            (foot[0] - across * along_y, foot[1] + across * along_x),
            (foot[0] + across * along_y, foot[1] - across * along_x),
        ),
        gap,
    )


def _nearest_on_line(first_m: float, second_m: float, apart: float) -> float:
    """Distance from the first object of the middle of the gap between two circles."""
    if apart > first_m + second_m:
        return (first_m + apart - second_m) / 2
    if first_m > second_m:
        return (first_m + apart + second_m) / 2
    return -(first_m + second_m - apart) / 2


@dataclass(frozen=True)
class JointFit:
    """A turn and a shift that lay plan points on found points, and how badly they fit.

    A plan point p lies at turn(p, turn_deg counterclockwise) + shift. `datum_at` is where the
    datum comes to lie; `misfit_m` is the root mean square distance left, to be written on the plan.
    """

    turn_deg: float
    shift_m: Point
    misfit_m: float
    worst_m: float

    @property
    def datum_at(self) -> Point:
        return self.shift_m

    def place(self, point: Point) -> Point:
        """Where a point of the plan lies in the found frame."""
        turn = math.radians(self.turn_deg)
        return (
            point[0] * math.cos(turn) - point[1] * math.sin(turn) + self.shift_m[0],
            point[0] * math.sin(turn) + point[1] * math.cos(turn) + self.shift_m[1],
        )


def best_fit(plan_points: Sequence[Point], found_points: Sequence[Point]) -> JointFit:
    """Least-squares turn and shift from at least three joints found again.

    No stretch is fitted: a tape does not grow, so a stretch is misfit and stays visible.
    Source: the planar case of Kabsch (1976), Acta Crystallographica A32, 922.
    """
    if len(plan_points) != len(found_points):
        raise PlanError("Each joint found needs its place on the old plan.")
    if len(plan_points) < 3:
        raise PlanError("A datum is rebuilt from at least three joints found again.")
    plan_mid, found_mid = _middle(plan_points), _middle(found_points)
    dot = cross = 0.0
    for plan, found in zip(plan_points, found_points, strict=True):
        px, py = plan[0] - plan_mid[0], plan[1] - plan_mid[1]
        fx, fy = found[0] - found_mid[0], found[1] - found_mid[1]
        dot += px * fx + py * fy
        cross += px * fy - py * fx
    if dot == 0 and cross == 0:
        raise PlanError("The joints all lie at one point, so they give no direction.")
    turn = math.atan2(cross, dot)
    shift = (
        found_mid[0] - plan_mid[0] * math.cos(turn) + plan_mid[1] * math.sin(turn),
        found_mid[1] - plan_mid[0] * math.sin(turn) - plan_mid[1] * math.cos(turn),
    )
    fit = JointFit(math.degrees(turn), shift, 0.0, 0.0)
    misses = [
        math.dist(fit.place(plan), found)
        for plan, found in zip(plan_points, found_points, strict=True)
    ]
    misfit = math.sqrt(sum(miss**2 for miss in misses) / len(misses))
    return JointFit(fit.turn_deg, shift, misfit, max(misses))


def _middle(points: Sequence[Point]) -> Point:
    return (
        sum(point[0] for point in points) / len(points),
        sum(point[1] for point in points) / len(points),
    )
