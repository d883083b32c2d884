"""The joint that two panels share, and how far along it something lies."""

import itertools
import math
from dataclasses import dataclass

from shapely import LineString
from shapely import Point as ShapelyPoint

from registry.plan.faults import PlaceError
from registry.plan.lengths import with_unit, write_length
from registry.plan.panels import Panel
from registry.plan.places import JointMeasure, JointPlace
from registry.plan.points import Point
from registry.plan.shapes import PlanShape
from registry.units import System

_BESIDE_M = 0.005  # sides this near each other are one joint
_SHORTEST_M = 0.02  # panels that meet at a corner only share less


@dataclass(frozen=True)
class Joint:
    """A straight joint, its ends measured (R, U) in the first panel, metres."""

    first: str
    second: str
    start: Point
    end: Point

    @property
    def measure(self) -> JointMeasure:
        runs_up = abs(self.end[1] - self.start[1]) >= abs(self.end[0] - self.start[0])
        return JointMeasure.UP if runs_up else JointMeasure.RIGHT

    @property
    def from_to_m(self) -> Point:
        """Lowest and highest R or U of the joint in the first panel."""
        axis = 1 if self.measure == JointMeasure.UP else 0
        return (self.start[axis], self.end[axis])


def joint_between(first: Panel, second: Panel) -> Joint:
    """The longest straight side two panels share. Raises PlaceError if they share none."""
    best: tuple[Point, Point] | None = None
    for side in _sides(first):
        for other in _sides(second):
            shared = _overlap(side, other)
            if shared is not None and (best is None or math.dist(*shared) > math.dist(*best)):
                best = shared
    if best is None or math.dist(*best) < _SHORTEST_M:
        raise PlaceError(f"{first.name} and {second.name} do not share a joint.")
    ends = sorted((first.to_panel(*best[0]), first.to_panel(*best[1])), key=sum)
    return Joint(first.name, second.name, ends[0], ends[1])


def _sides(panel: Panel) -> list[tuple[Point, Point]]:
    corners = list(panel.polygon.exterior.coords)
    return list(itertools.pairwise(corners))


def _overlap(side: tuple[Point, Point], other: tuple[Point, Point]) -> tuple[Point, Point] | None:
    """The stretch of `side` beside which `other` runs, or None."""
    length = math.dist(*side)
    along = ((side[1][0] - side[0][0]) / length, (side[1][1] - side[0][1]) / length)
    marks = []
    for point in other:
        away = (point[0] - side[0][0], point[1] - side[0][1])
        if abs(away[0] * along[1] - away[1] * along[0]) > _BESIDE_M:
            return None
        marks.append(away[0] * along[0] + away[1] * along[1])
    start, stop = max(0.0, min(marks)), min(length, max(marks))
    if stop <= start:
        return None
    begin = (side[0][0] + start * along[0], side[0][1] + start * along[1])
    return (begin, (side[0][0] + stop * along[0], side[0][1] + stop * along[1]))


def along_joint(joint: Joint, place: JointPlace, panel: Panel, system: System) -> PlanShape:
    """A point or line on a joint. Raises PlaceError for the wrong measure or past its ends."""
    if place.along is None:
        ends = (panel.to_plan(*joint.start), panel.to_plan(*joint.end))
        return PlanShape(LineString(ends))
    if place.measure != joint.measure:
        way = "up" if joint.measure == JointMeasure.UP else "right"
        raise PlaceError(
            f"The joint {joint.first}|{joint.second} runs {way}; measure along it in "
            f"{joint.measure}."
        )
    low, high = joint.from_to_m
    if place.along.start_m < low - 0.001 or place.along.stop_m > high + 0.001:
        raise PlaceError(
            f"The joint {joint.first}|{joint.second} goes from {joint.measure} "
            f"{write_length(low, system, least_digits=0)} to {with_unit(high, system)}."
        )
    start = panel.to_plan(*_on_joint(joint, place.along.start_m))
    if place.along.is_point:
        return PlanShape(ShapelyPoint(start))
    stop = panel.to_plan(*_on_joint(joint, place.along.stop_m))
    return PlanShape(LineString([start, stop]))


def _on_joint(joint: Joint, value_m: float) -> Point:
    low, high = joint.from_to_m
    share = (value_m - low) / (high - low)
    return (
        joint.start[0] + share * (joint.end[0] - joint.start[0]),
        joint.start[1] + share * (joint.end[1] - joint.start[1]),
    )
