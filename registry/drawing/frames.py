"""From plan coordinates to millimetres on the paper: to scale, or a path as a strip of rows."""

import math
from dataclasses import dataclass
from typing import Protocol

from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from registry.drawing.labels import Box
from registry.drawing.primitives import DrawingError, Point
from registry.plan import Baseline, PlaceError


class Frame(Protocol):
    """A way to lay a plan on the paper."""

    @property
    def box(self) -> Box:
        """The room it takes on the paper: left, top, right, bottom, mm."""

    def at(self, point: Point) -> Point | None:
        """Where a point of the plan (right_m, up_m) comes to lie; None if it is not shown."""

    def ring(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        """An outline of the plan as outlines on the paper: clipped, or split over rows."""

    def line(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        """A line of the plan as lines on the paper."""


@dataclass(frozen=True)
class ScaleFrame:
    """To scale; up goes up the paper, or to the right when `turned` (then right goes down).

    extent: left, bottom, right, top of what is shown, plan metres. beyond_mm: how far outside it
    a thing beside the pavement is still drawn; 0 where the plan goes on over the page.
    """

    extent: tuple[float, float, float, float]
    corner: Point
    mm_per_m: float
    turned: bool = False
    beyond_mm: float = 5.0

    @property
    def size_mm(self) -> Point:
        left, bottom, right, top = self.extent
        wide, tall = (right - left) * self.mm_per_m, (top - bottom) * self.mm_per_m
        return (tall, wide) if self.turned else (wide, tall)

    @property
    def box(self) -> Box:
        wide, tall = self.size_mm
        return (self.corner[0], self.corner[1], self.corner[0] + wide, self.corner[1] + tall)

    def put(self, point: Point) -> Point:
        """Where a point comes to lie, shown or not."""
        left, bottom, _, top = self.extent
        if self.turned:
            across, down = point[1] - bottom, point[0] - left
        else:
            across, down = point[0] - left, top - point[1]
        return (self.corner[0] + across * self.mm_per_m, self.corner[1] + down * self.mm_per_m)

    def at(self, point: Point) -> Point | None:
        left, bottom, right, top = self.extent
        slack = 1e-6
        shown = left - slack <= point[0] <= right + slack
        return self.put(point) if shown and bottom - slack <= point[1] <= top + slack else None

    def _all_within(self, points: tuple[Point, ...]) -> bool:
        left, bottom, right, top = self.extent
        return all(left <= x <= right and bottom <= y <= top for x, y in points)

    def ring(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        if self._all_within(points):  # nothing to cut off: a hundredth of the time
            return (tuple(map(self.put, points)),)
        return tuple(
            tuple(map(self.put, part)) for part in _rings(Polygon(points), box(*self.extent))
        )

    def line(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        if self._all_within(points):
            return (tuple(map(self.put, points)),)
        return tuple(
            tuple(map(self.put, part)) for part in _lines(LineString(points), box(*self.extent))
        )


def fitted(extent: tuple[float, float, float, float], room: Box, *, turned: bool) -> ScaleFrame:
    """The largest frame of an extent in a room on the paper, in its middle."""
    wide_m, tall_m = extent[2] - extent[0], extent[3] - extent[1]
    if turned:
        wide_m, tall_m = tall_m, wide_m
    wide, tall = room[2] - room[0], room[3] - room[1]
    if wide <= 0 or tall <= 0 or wide_m <= 0 or tall_m <= 0:
        raise DrawingError("There is no room on the paper for this plan.")
    scale = min(wide / wide_m, tall / tall_m)
    corner = (room[0] + (wide - wide_m * scale) / 2, room[1] + (tall - tall_m * scale) / 2)
    return ScaleFrame(extent, corner, scale, turned)


@dataclass(frozen=True)
class StripFrame:
    """A path pulled straight: stations run to the right in rows, left of the path is up.

    mm_per_m holds along the path; the width is drawn `band_mm` high whatever it is.
    """

    baseline: Baseline
    width_m: float
    corner: Point
    rows: int
    row_m: float
    mm_per_m: float
    band_mm: float
    row_step_mm: float

    @property
    def box(self) -> Box:
        bottom = self.corner[1] + (self.rows - 1) * self.row_step_mm + self.band_mm
        return (
            self.corner[0],
            self.corner[1],
            self.corner[0] + self.row_m * self.mm_per_m,
            bottom,
        )

    def put(self, row: int, station_m: float, from_left_m: float) -> Point:
        x = self.corner[0] + (station_m - row * self.row_m) * self.mm_per_m
        down = from_left_m / self.width_m * self.band_mm
        return (x, self.corner[1] + row * self.row_step_mm + down)

    def row_box(self, row: int) -> BaseGeometry:
        """What a row shows, as (station, metres from the left edge)."""
        return box(row * self.row_m, 0.0, (row + 1) * self.row_m, self.width_m)

    def on_path(self, point: Point) -> Point | None:
        """(station, metres from the left edge) of a point of the plan, or None beside the path."""
        try:
            station, offset = self.baseline.to_station(*point)
        except PlaceError:
            return None
        return (station, offset + self.baseline.center_right_m)

    def at(self, point: Point) -> Point | None:
        found = self.on_path(point)
        if found is None or not -1e-6 <= found[1] <= self.width_m + 1e-6:
            return None
        row = min(int(found[0] / self.row_m), self.rows - 1)
        return self.put(row, *found)

    def _straight(self, points: tuple[Point, ...]) -> list[Point]:
        """Every point that has a station; the outline is closed over the others."""
        return [found for point in points if (found := self.on_path(point)) is not None]

    def ring(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        straight = self._straight(points)
        if len(straight) < 3:
            return ()
        shape = Polygon(straight).buffer(0)
        return tuple(
            tuple(self.put(row, *point) for point in part)
            for row in range(self.rows)
            for part in _rings(shape, self.row_box(row))
        )

    def line(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        straight = self._straight(points)
        if len(straight) < 2:
            return ()
        shape = LineString(straight)
        return tuple(
            tuple(self.put(row, *point) for point in part)
            for row in range(self.rows)
            for part in _lines(shape, self.row_box(row))
        )


def strip(baseline: Baseline, width_m: float, room: Box, *, gap_mm: float) -> StripFrame:
    """A path in as many rows as let it be drawn near to scale in the room.

    gap_mm: room between rows for stations and words.
    """
    wide, tall = room[2] - room[0], room[3] - room[1]
    band = min(14.0, max(8.0, tall / 5))
    most = max(1, int((tall + gap_mm) // (band + gap_mm)))
    true_length_mm = baseline.length_m * band / width_m
    rows = max(1, min(most, math.ceil(true_length_mm / wide)))
    scale = min(wide * rows / baseline.length_m, band / width_m)
    used = rows * band + (rows - 1) * gap_mm
    return StripFrame(
        baseline,
        width_m,
        (room[0], room[1] + max(0.0, (tall - used) / 2)),
        rows,
        baseline.length_m / rows,
        scale,
        band,
        band + gap_mm,
    )


def _parts(shape: BaseGeometry, shown: BaseGeometry) -> list[BaseGeometry]:
    cut = shape.intersection(shown)
    return [part for part in getattr(cut, "geoms", [cut]) if not part.is_empty]


def _rings(shape: BaseGeometry, shown: BaseGeometry) -> list[tuple[Point, ...]]:
    return [
        tuple(part.exterior.coords)[:-1]
        for part in _parts(shape, shown)
        if isinstance(part, Polygon)
    ]


def _lines(shape: BaseGeometry, shown: BaseGeometry) -> list[tuple[Point, ...]]:
    return [tuple(part.coords) for part in _parts(shape, shown) if isinstance(part, LineString)]
