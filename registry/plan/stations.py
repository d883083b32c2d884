"""Stations and offsets along a path: how far along the left edge, how far left or right.

The station is measured from the datum along the left edge as one walks up; the offset is
measured square to it, from the center of the path or, where the width varies, from the left
edge. The plan says which. Right is positive, left negative; all in metres.

Bends: a square offset leaves a wedge outside each corner that no station reaches, and names a
wedge inside it twice. Near a corner the offset lines are therefore turned evenly from square
to the corner's half-angle line, over one path width; every point of the path then has one
station and one offset, and the way back is exact.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from registry.plan.faults import PlaceError, PlanError
from registry.plan.points import TOUCH_M, Point

_TURNING_M = 3.0  # over how far offset lines turn at a corner when the width is not known


class OffsetFrom(StrEnum):
    CENTER = "center"
    LEFT_EDGE = "left_edge"


LONGEST_M = 1e6
"""What is longer is a slip of the pen, and more than can be drawn."""


@dataclass(frozen=True)
class _Leg:
    """One straight piece: from its start along unit (x, y); skews of the offset lines at its ends.

    A skew is how far an offset line leans forward along the leg for each metre to the right.
    """

    start: Point
    along: Point
    length_m: float
    station_m: float
    skew_start: float = 0.0
    skew_end: float = 0.0

    @property
    def to_right(self) -> Point:
        return (self.along[1], -self.along[0])

    @property
    def widening(self) -> float:
        """Metres by which the leg grows for each metre to the right of its own line."""
        return self.skew_end - self.skew_start


@dataclass(frozen=True)
class Baseline:
    """The left edge of a path or the baseline of a lot, as points in plan coordinates.

    points: at least two, first at station 0. width_m: needed when offsets count from the center.
    """

    points: tuple[Point, ...]
    offset_from: OffsetFrom = OffsetFrom.LEFT_EDGE
    width_m: float | None = None

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise PlanError("A baseline has at least two points.")
        if any(math.dist(*pair) <= TOUCH_M for pair in self._pairs()):
            raise PlanError("Two points of the baseline in a row are the same.")
        if not self.length_m <= LONGEST_M:
            raise PlanError("A path is at most 1000 km long; check its length and points.")
        if self.width_m is not None and not self.width_m > 0:
            raise PlanError("The width of a path is above 0.")
        if self.offset_from == OffsetFrom.CENTER and self.width_m is None:
            raise PlanError("Offsets from the center need the width of the path.")
        for before, after in zip(self._legs[:-1], self._legs[1:], strict=True):
            if before.along[0] * after.along[0] + before.along[1] * after.along[1] < -0.5:
                raise PlanError("The baseline turns back on itself; give more points in the bend.")
        wide = self.width_m or 0.0
        if any(piece.length_m + wide * piece.widening <= 0 for piece in self._pieces):
            raise PlanError(
                "A bend is tighter than the path is wide; check the left edge's points."
            )

    def _pairs(self) -> list[tuple[Point, Point]]:
        return list(zip(self.points[:-1], self.points[1:], strict=True))

    @property
    def length_m(self) -> float:
        return sum(math.dist(*pair) for pair in self._pairs())

    @property
    def stations_of_points(self) -> tuple[float, ...]:
        """Station of each point of the baseline, m."""
        return (*(leg.station_m for leg in self._legs), self.length_m)

    @property
    def bends(self) -> tuple[float, ...]:
        """Stations at which the line of an offset may change its direction, m."""
        return tuple(piece.station_m for piece in self._pieces[1:])

    @property
    def center_right_m(self) -> float:
        """How far right of the left edge offset 0 lies."""
        if self.offset_from == OffsetFrom.CENTER and self.width_m is not None:
            return self.width_m / 2
        return 0.0

    @cached_property
    def _legs(self) -> tuple[_Leg, ...]:
        legs: list[_Leg] = []
        for start, end in self._pairs():
            length = math.dist(start, end)
            along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
            station = legs[-1].station_m + legs[-1].length_m if legs else 0.0
            legs.append(_Leg(start, along, length, station))
        return tuple(legs)

    @cached_property
    def _pieces(self) -> tuple[_Leg, ...]:
        """Legs split so that offset lines are square but for one width beside each corner."""
        legs, pieces = self._legs, []
        for index, leg in enumerate(legs):
            before = _skew(legs[index - 1], leg) if index else 0.0
            after = _skew(leg, legs[index + 1]) if index + 1 < len(legs) else 0.0
            turning = min(self.width_m or _TURNING_M, leg.length_m / 2)
            cuts = (0.0, turning if before else 0.0, leg.length_m - (turning if after else 0.0))
            skews = ((-before, 0.0), (0.0, 0.0), (0.0, after))
            for begin, end, skew in zip(cuts, (*cuts[1:], leg.length_m), skews, strict=True):
                if end - begin > TOUCH_M:
                    pieces.append(_piece(leg, begin, end, skew))
        return tuple(pieces)

    def to_plan(self, station_m: float, offset_m: float) -> Point:
        """Station and offset -> plan coordinates. Raises PlaceError off the ends of the path."""
        if not -TOUCH_M <= station_m <= self.length_m + TOUCH_M:
            raise PlaceError("That station is not on the path.")
        right = self.center_right_m + offset_m
        for piece in self._pieces:
            if station_m <= piece.station_m + piece.length_m or piece is self._pieces[-1]:
                break
        share = (station_m - piece.station_m) / piece.length_m
        lean = right * (piece.skew_start + share * piece.widening)
        ahead = share * piece.length_m + lean
        return (
            piece.start[0] + ahead * piece.along[0] + right * piece.to_right[0],
            piece.start[1] + ahead * piece.along[1] + right * piece.to_right[1],
        )

    def to_station(self, right_m: float, up_m: float) -> tuple[float, float]:
        """Plan coordinates -> (station_m, offset_m). Raises PlaceError off the ends of the path."""
        best: tuple[float, float] | None = None
        for piece in self._pieces:
            found = _on_piece(piece, (right_m, up_m))
            if found is not None and (best is None or abs(found[1]) < abs(best[1])):
                best = found
        if best is None:
            raise PlaceError("That spot lies before the start or past the end of the baseline.")
        return (best[0], best[1] - self.center_right_m)


def _skew(before: _Leg, after: _Leg) -> float:
    """Lean of the half-angle line at a corner, forward along `before` per metre to the right."""
    cross = before.along[0] * after.along[1] - before.along[1] * after.along[0]
    dot = before.along[0] * after.along[0] + before.along[1] * after.along[1]
    # A turn to the left opens the right side: the line leans forward there by tan(half the turn).
    return math.tan(math.atan2(cross, dot) / 2)


def _piece(leg: _Leg, begin: float, end: float, skew: tuple[float, float]) -> _Leg:
    start = (leg.start[0] + begin * leg.along[0], leg.start[1] + begin * leg.along[1])
    return _Leg(start, leg.along, end - begin, leg.station_m + begin, *skew)


def _on_piece(piece: _Leg, point: Point) -> tuple[float, float] | None:
    """(station, distance right of the left edge) of a point, or None if not beside this piece."""
    away = (point[0] - piece.start[0], point[1] - piece.start[1])
    right = away[0] * piece.to_right[0] + away[1] * piece.to_right[1]
    ahead = away[0] * piece.along[0] + away[1] * piece.along[1]
    room = piece.length_m + right * piece.widening
    if room <= 0:  # so far inside a bend that the offset lines have crossed
        return None
    share = (ahead - right * piece.skew_start) / room
    slack = TOUCH_M / piece.length_m
    if not -slack <= share <= 1 + slack:
        return None
    return (piece.station_m + min(max(share, 0.0), 1.0) * piece.length_m, right)
