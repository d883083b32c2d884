"""Where a place lies on the plan: a point, a line or an area in plan coordinates, metres."""

from dataclasses import dataclass
from enum import StrEnum

from shapely import LineString, MultiPolygon, Polygon
from shapely import Point as ShapelyPoint

from registry.plan.points import Point


class ShapeKind(StrEnum):
    POINT = "point"
    LINE = "line"
    AREA = "area"


@dataclass(frozen=True)
class PlanShape:
    """geometry: shapely Point, LineString, Polygon or, for a row of panels, MultiPolygon."""

    geometry: ShapelyPoint | LineString | Polygon | MultiPolygon

    @property
    def kind(self) -> ShapeKind:
        if isinstance(self.geometry, ShapelyPoint):
            return ShapeKind.POINT
        return ShapeKind.LINE if isinstance(self.geometry, LineString) else ShapeKind.AREA

    @property
    def points(self) -> tuple[Point, ...]:
        """The point, the line's points, or the corners (first not repeated) of the area."""
        if isinstance(self.geometry, MultiPolygon):
            return tuple(
                corner
                for part in self.geometry.geoms
                for corner in tuple(part.exterior.coords)[:-1]
            )
        if isinstance(self.geometry, Polygon):
            return tuple(self.geometry.exterior.coords)[:-1]
        return tuple(self.geometry.coords)

    @property
    def rings(self) -> tuple[tuple[Point, ...], ...]:
        """Outer corners of each part of an area; empty for points and lines."""
        if isinstance(self.geometry, MultiPolygon):
            return tuple(tuple(part.exterior.coords)[:-1] for part in self.geometry.geoms)
        if isinstance(self.geometry, Polygon):
            return (tuple(self.geometry.exterior.coords)[:-1],)
        return ()

    @property
    def centre(self) -> Point:
        """A point to put a mark at: the middle of the area or line, inside an area."""
        if self.kind == ShapeKind.LINE:
            middle = self.geometry.interpolate(0.5, normalized=True)
        else:
            middle = self.geometry.centroid
            if not self.geometry.intersects(middle):
                middle = self.geometry.representative_point()
        return (middle.x, middle.y)

    @property
    def area_m2(self) -> float:
        return float(self.geometry.area)

    @property
    def length_m(self) -> float:
        """Length of a line; 0 for points and areas."""
        return float(self.geometry.length) if self.kind == ShapeKind.LINE else 0.0


def shape_between(corners: tuple[Point, Point, Point, Point]) -> PlanShape:
    """Four corners in order, of which sides may have no length: a point, line or area."""
    distinct = list(dict.fromkeys(corners))
    if len(distinct) == 1:
        return PlanShape(ShapelyPoint(distinct[0]))
    if len(distinct) == 2:
        return PlanShape(LineString(distinct))
    return PlanShape(Polygon(corners))
