"""Hatches as lines, the same on a page and on paper: state is never colour alone.

States use the backward slant and grow denser as they grow worse; kinds of defect have the
patterns of the printed drawing key, so `/////` always means raveling.
"""

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import shapely
from shapely import LineString, Polygon

from registry.drawing.primitives import Point, Role, Strokes, Weight


class Hatch(StrEnum):
    WATCH = "watch"
    CLEAN = "clean"
    RESTORE = "restore"
    NOT_WORKING = "not_working"
    NOT_DECIDED = "not_decided"
    NOT_SEEN = "not_seen"
    RAVELING = "raveling"
    SEALED = "sealed"
    CLOGGED = "clogged"
    STAIN = "stain"
    PONDING = "ponding"
    BAND = "band"
    TO_SWEEP = "to_sweep"
    TO_SWEEP_TWICE = "to_sweep_twice"
    LOAD = "load"
    BARE = "bare"


HATCH_OF_STATE: dict[str, Hatch | None] = {
    "working": None,
    "watch": Hatch.WATCH,
    "clean": Hatch.CLEAN,
    "restore": Hatch.RESTORE,
    "not_working": Hatch.NOT_WORKING,
    "not_decided": Hatch.NOT_DECIDED,
}


@dataclass(frozen=True)
class _Family:
    """Parallel lines: direction in degrees clockwise from the right, spacing and dash in mm."""

    turn_deg: float
    spacing_mm: float
    dash_mm: float = 0.0
    gap_mm: float = 0.0


_FAMILIES: dict[Hatch, tuple[_Family, ...]] = {
    Hatch.WATCH: (_Family(45, 3.6),),
    Hatch.CLEAN: (_Family(45, 1.8),),
    Hatch.RESTORE: (_Family(45, 2.8), _Family(-45, 2.8)),
    Hatch.NOT_WORKING: (_Family(45, 1.4), _Family(-45, 1.4)),
    Hatch.NOT_DECIDED: (_Family(0, 2.4, 0.3, 2.1),),
    Hatch.NOT_SEEN: (_Family(90, 1.8),),
    Hatch.RAVELING: (_Family(-60, 1.5),),
    Hatch.SEALED: (_Family(0, 1.5), _Family(90, 1.5)),
    Hatch.PONDING: (_Family(0, 1.4, 2.4, 1.2),),
    Hatch.BAND: (_Family(0, 1.2, 0.25, 0.95),),
    Hatch.TO_SWEEP: (_Family(20, 1.4),),
    Hatch.TO_SWEEP_TWICE: (_Family(20, 1.4), _Family(-20, 1.4)),
    Hatch.LOAD: (_Family(-20, 2.6, 1.1, 2.2),),
    Hatch.BARE: (_Family(70, 1.7),),
}
_RINGS = {Hatch.CLOGGED: 0.55, Hatch.STAIN: 0.0}
_RING_STEP_MM = 2.2
_FIGURE_MM = 0.6  # from the middle of a ring or star to its rim


def hatched(
    points: tuple[Point, ...], hatch: Hatch, role: Role = Role.INK, weight: Weight = Weight.HAIR
) -> Strokes:
    """The hatch of a polygon, clipped to it; lines of neighbours meet."""
    polygon = Polygon(points)
    if not polygon.is_valid:
        polygon = polygon.buffer(0)
    if hatch in _RINGS:
        lines = _dotted(polygon, hatch)
    else:
        lines = tuple(line for family in _FAMILIES[hatch] for line in _clipped(polygon, family))
    return Strokes(lines, role, weight)


def _clipped(polygon: Polygon, family: _Family) -> Iterator[tuple[Point, ...]]:
    """Lines of one family inside a polygon. Spacing counts from the sheet's corner.

    Each line is cut where it crosses the rim, and every second piece lies inside: much quicker
    than cutting shapes, and a plan may have a thousand of them.
    """
    turn = math.radians(family.turn_deg)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    edges = list(_edges(polygon, along, across))
    if not edges:
        return
    depth = [edge[1] for edge in edges]
    step = family.spacing_mm
    for index in range(math.ceil(min(depth) / step), math.floor(max(depth) / step) + 1):
        offset = index * step
        cuts = sorted(
            start + (offset - low) * (stop - start) / (high - low)
            for start, low, stop, high in edges
            if (low <= offset) != (high <= offset)
        )
        shift = (family.dash_mm + family.gap_mm) / 2 if index % 2 else 0.0
        for first, last in zip(cuts[::2], cuts[1::2], strict=True):
            for start, stop in _dashes(first, last, family, shift):
                yield tuple(
                    (at * along[0] + offset * across[0], at * along[1] + offset * across[1])
                    for at in (start, stop)
                )


def _edges(
    polygon: Polygon, along: Point, across: Point
) -> Iterator[tuple[float, float, float, float]]:
    """The rim piece by piece: (reach, depth) of its start and of its end in a family's own way."""
    for part in getattr(polygon, "geoms", [polygon]):
        for ring in () if part.is_empty else (part.exterior, *part.interiors):
            turned = [
                (x * along[0] + y * along[1], x * across[0] + y * across[1]) for x, y in ring.coords
            ]
            yield from ((*start, *stop) for start, stop in itertools.pairwise(turned))


def _dashes(
    start: float, stop: float, family: _Family, shift: float
) -> Iterator[tuple[float, float]]:
    """The parts of a stroke that are drawn."""
    if not family.dash_mm:
        yield (start, stop)
        return
    step = family.dash_mm + family.gap_mm
    for index in range(math.floor((start - shift) / step), math.ceil((stop - shift) / step) + 1):
        begin = max(start, index * step + shift)
        end = min(stop, index * step + shift + family.dash_mm)
        if begin < end:
            yield (begin, end)


def _dotted(polygon: Polygon, hatch: Hatch) -> tuple[tuple[Point, ...], ...]:
    """Rings (clogged) or small stars (stain) on an offset grid, those wholly inside."""
    room = polygon.buffer(-_FIGURE_MM)
    if room.is_empty:
        return ()
    left, top, right, bottom = room.bounds
    middles = []
    for row in range(math.floor(top / _RING_STEP_MM), math.ceil(bottom / _RING_STEP_MM) + 1):
        shift = _RING_STEP_MM / 2 if row % 2 else 0.0
        for column in range(math.floor(left / _RING_STEP_MM), math.ceil(right / _RING_STEP_MM) + 1):
            middles.append((column * _RING_STEP_MM + shift, row * _RING_STEP_MM))
    xs, ys = [x for x, _ in middles], [y for _, y in middles]
    inside = shapely.contains_xy(room, xs, ys)
    return tuple(
        tuple((middle[0] + x, middle[1] + y) for x, y in line)
        for middle, is_inside in zip(middles, inside, strict=True)
        if is_inside
        for line in _figure(hatch)
    )


@lru_cache(maxsize=4)
def _figure(hatch: Hatch) -> tuple[tuple[Point, ...], ...]:
    if hatch == Hatch.CLOGGED:
        radius = _RINGS[hatch]
        turns = [math.radians(45 * step) for step in range(9)]
        return (tuple((radius * math.cos(turn), radius * math.sin(turn)) for turn in turns),)
    turns = [math.radians(90 + 60 * step) for step in range(3)]
    return tuple(
        (
            (-0.7 * math.cos(turn), -0.7 * math.sin(turn)),
            (0.7 * math.cos(turn), 0.7 * math.sin(turn)),
        )
        for turn in turns
    )


_WAVE_MM, _SWING_MM = 2.4, 0.7


def waved(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """A wave along a line, the key's sign of a crack; () where the line is too short for one."""
    line = LineString(points)
    waves = int(line.length / _WAVE_MM)
    if waves < 2:
        return ()
    step = line.length / (4 * waves)
    places = shapely.get_coordinates(
        shapely.line_interpolate_point(line, [nth * step for nth in range(4 * waves + 1)])
    )
    wave = []
    for nth, (x, y) in enumerate(places):
        before, after = places[max(nth - 1, 0)], places[min(nth + 1, len(places) - 1)]
        along = math.atan2(after[1] - before[1], after[0] - before[0])
        swing = (0.0, _SWING_MM, 0.0, -_SWING_MM)[nth % 4]
        wave.append((float(x - swing * math.sin(along)), float(y + swing * math.cos(along))))
    return tuple(wave)
