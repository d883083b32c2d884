"""Known defects on a plan: hatch, wave or sign by kind at the place, the number beside it."""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator

from registry.drawing.frames import Frame
from registry.drawing.hatches import hatched, waved
from registry.drawing.key import hatch_of, numbered
from registry.drawing.labels import Box, Labels
from registry.drawing.plan_marks import DefectMark
from registry.drawing.plan_things import shown_at
from registry.drawing.primitives import (
    Area,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Polyline,
    Role,
    Symbol,
    Weight,
)
from registry.plan import ShapeKind

_REACH_MM = 4.0
_SIGN_MM = 3.0
_NEAR_MM = 4.8
_SEEN_ROUND_MM = 8.0  # the ring of a number, 5 mm, and 1.5 mm on both sides of it
_TURNS = tuple(math.radians(degrees) for degrees in (0, 180, 270, 90, 315, 45, 225, 135))
_RINGS, _FEW_RINGS = 4, 1
_CELL_MM = 6.0
_PACKED = 6
_SLACK = 0.05  # mm by which neighbours may touch


class Crowd:
    """Places taken on a picture, in cells, so that thousands are looked through quickly."""

    def __init__(self, taken: Iterable[Box], within: Box) -> None:
        self.within = within
        self.cells: dict[tuple[int, int], list[Box]] = defaultdict(list)
        for box in taken:
            self.take(box)

    def take(self, box: Box) -> None:
        for cell in _cells(box):
            self.cells[cell].append(box)

    def is_packed(self, at: Point) -> bool:
        """Say whether so much stands around a point that looking for room is lost time."""
        cell = (math.floor(at[0] / _CELL_MM), math.floor(at[1] / _CELL_MM))
        return len(self.cells[cell]) > _PACKED

    def is_free(self, box: Box) -> bool:
        frame = self.within
        if box[0] < frame[0] or box[1] < frame[1] or box[2] > frame[2] or box[3] > frame[3]:
            return False
        left, top, right, bottom = (
            box[0] + _SLACK,
            box[1] + _SLACK,
            box[2] - _SLACK,
            box[3] - _SLACK,
        )
        for cell in _cells(box):
            for other in self.cells[cell]:
                if left < other[2] and other[0] < right and top < other[3] and other[1] < bottom:
                    return False
        return True


def defect_items(
    defects: tuple[DefectMark, ...], frame: Frame, labels: Labels, *, every_number: bool = True
) -> list[Item]:
    """Marks of defects, in the order given; all extents below all signs and numbers, so that none
    is hatched over where two defects share a panel. Signs are placed first, then numbers.

    every_number: False leaves a number out where it would lie on other words or marks; the mark
    is still there, its title tells the number, and a page lists them all.
    """
    shown = [
        (mark, at) for mark in defects if (at := shown_at(frame, mark.shape.centre)) is not None
    ]
    drawn = []
    for mark, at in shown:
        extent, has_hatch = _extent(mark, frame)
        sign = () if has_hatch else _sign(mark, at)
        if sign or not _is_seen_round(extent):
            labels.keep_off(at, _SIGN_MM)
        drawn.append((mark, at, extent, sign))
    crowd = Crowd(labels.taken, labels.frame)
    under: list[Item] = []
    items: list[Item] = []
    for mark, at, extent, sign in drawn:
        is_on_sign = not sign and _is_seen_round(extent)
        number = _number(mark, at, crowd, is_on_sign=is_on_sign, must=every_number)
        if number:
            labels.keep_off(number[0], 2 * number[1])
        place = number[0] if number else at
        words = _numbered(mark, at, number) if number else []
        title = mark.title or f"known defect {mark.number}"
        if extent:
            under.append(Group(tuple(extent), title=title))
        items.append(Group((*sign, *words), mark.href, title, place, _REACH_MM))
    return under + items


def _is_seen_round(extent: list[Item]) -> bool:
    """Whether a hatch is still seen, and with it the kind, when the number lies on its middle."""
    points = [point for item in extent if isinstance(item, Area) for point in item.points]
    sides = (max(values) - min(values) for values in zip(*points, strict=True))
    return max(sides, default=_SEEN_ROUND_MM) >= _SEEN_ROUND_MM


def _extent(mark: DefectMark, frame: Frame) -> tuple[list[Item], bool]:
    """What is drawn of its size, and whether that shows the kind already."""
    shape = mark.shape
    if shape.kind == ShapeKind.LINE:
        lines = frame.line(shape.points)
        if mark.sign != Symbol.CRACK:
            return [Polyline(line, weight=Weight.THICK) for line in lines], False
        waves = [wave for line in lines if (wave := waved(line))]
        return [Polyline(wave) for wave in waves], bool(waves)
    items: list[Item] = []
    hatch, has_hatch = hatch_of(mark.sign), False
    for ring in (part for whole in shape.rings for part in frame.ring(whole)):
        strokes = hatched(ring, hatch) if hatch is not None else None
        if strokes is not None and strokes.lines:
            items.append(strokes)
            has_hatch = True
        items.append(Area(ring, None, Role.INK, Weight.THIN, (1.2, 0.8)))
    return items, has_hatch


def _sign(mark: DefectMark, at: Point) -> tuple[Item, ...]:
    """The key's sign at the place itself, on a ground of paper."""
    half = _SIGN_MM / 2 + 0.2
    return (Area(_square(at, half), Role.PAPER, None), Mark(at, mark.sign, _SIGN_MM))


def _number(
    mark: DefectMark, at: Point, crowd: Crowd, *, is_on_sign: bool, must: bool
) -> tuple[Point, float] | None:
    """Where the number goes, and its half size: on a hatch, else beside; None for nowhere."""
    half = 2.5 if mark.number < 100 else 3.2
    if not must and crowd.is_packed(at):
        return None
    for middle in _tries(at, half, _RINGS if must else _FEW_RINGS, on_it=is_on_sign):
        box = _around(middle, half)
        if crowd.is_free(box):
            crowd.take(box)
            return middle, half
    if not must:
        return None
    beside = (at[0] + _SIGN_MM / 2 + half, at[1])
    crowd.take(_around(beside, half))
    return beside, half


def _tries(at: Point, half: float, rings: int, *, on_it: bool) -> Iterator[Point]:
    if on_it:
        yield at
    for ring in range(rings):
        away = _NEAR_MM + (half - 2.5) + ring * 4.0
        yield from ((at[0] + away * math.cos(t), at[1] + away * math.sin(t)) for t in _TURNS)


def _numbered(mark: DefectMark, at: Point, number: tuple[Point, float]) -> list[Item]:
    """The number in a ring, led back by a hair line where it stands away from its place."""
    middle, half = number
    away = math.dist(at, middle)
    items: list[Item] = []
    if away > _NEAR_MM + 1.5:
        start, end = (_SIGN_MM / 2 / away, 1 - half / away)
        ends = [
            tuple(a + share * (b - a) for a, b in zip(at, middle, strict=True))
            for share in (start, end)
        ]
        items.append(Line((ends[0][0], ends[0][1]), (ends[1][0], ends[1][1]), weight=Weight.HAIR))
    items.append(Area(_square(middle, half), Role.PAPER, None))
    items.extend(numbered(middle, mark.number))
    return items


def _square(at: Point, half: float) -> tuple[Point, ...]:
    left, top, right, bottom = _around(at, half)
    return ((left, top), (right, top), (right, bottom), (left, bottom))


def _around(at: Point, half: float) -> Box:
    return (at[0] - half, at[1] - half, at[0] + half, at[1] + half)


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    left, top, right, bottom = (math.floor(side / _CELL_MM) for side in box)
    return ((x, y) for x in range(left, right + 1) for y in range(top, bottom + 1))
