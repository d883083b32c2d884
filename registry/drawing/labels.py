"""Putting words beside marks so that they do not lie on each other."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import hypot

import numpy as np
import numpy.typing as npt

from registry.drawing.lettering import SMALLEST_PT, text_height_mm, text_width_mm
from registry.drawing.primitives import Anchor, Area, Item, Line, Point, Role, Text, Weight

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, mm."""

Table = npt.NDArray[np.float64]
"""Boxes as rows."""

_WAYS = (
    (1, 0, Anchor.START),
    (-1, 0, Anchor.END),
    (0, -1, Anchor.MIDDLE),
    (0, 1, Anchor.MIDDLE),
    (1, -1, Anchor.START),
    (1, 1, Anchor.START),
    (-1, -1, Anchor.END),
    (-1, 1, Anchor.END),
)

_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.0, 1.0)


@dataclass
class Labels:
    """Places taken so far inside a frame; each new label goes where least lies under it."""

    frame: Box
    taken: list[Box] = field(default_factory=list)
    words: list[Box] = field(default_factory=list)
    """Those of the places taken in which words stand."""
    _table: Table = field(default_factory=lambda: np.empty((64, 4)), repr=False)
    _count: int = 0
    _begun: int = 0

    def keep_off(self, middle: Point, size_mm: float) -> None:
        """A mark stands here; no label is put on it."""
        half = size_mm / 2
        self.taken.append((middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half))

    def stepping_aside(self, marks: Iterable[Point], size_mm: float) -> "Labels":
        """The same places taken, and marks besides that are drawn later and may bear words."""
        aside = Labels(self.frame, list(self.taken), list(self.words))
        for mark in marks:
            aside.keep_off(mark, size_mm)
        aside._begun = len(aside.taken)
        return aside

    def take_over(self, aside: "Labels") -> None:
        """Take what was put there since, without the marks that it stepped aside for."""
        self.taken.extend(aside.taken[aside._begun :])
        self.words.extend(aside.words[len(self.words) :])

    def keep_off_box(self, box: Box) -> None:
        self.taken.append(box)

    def beside(
        self,
        point: Point,
        text: str,
        *,
        away_mm: float = 2.2,
        size_pt: float = SMALLEST_PT,
        bold: bool = False,
        role: Role = Role.INK,
        here_first: bool = False,
        must: bool = True,
        right_only: bool = False,
    ) -> tuple[Item, ...]:
        """The text beside a point, on a ground of paper. here_first: try the point itself first.

        right_only: a value is never put where it could be read as its neighbour's.

        must: False leaves the text out where it would lie on another.
        """
        wide = text_width_mm(text, size_pt, bold=bold)
        tries = [(0, 0, Anchor.MIDDLE, 0.0)] if here_first else []
        farther = (1.0, 2.5, 4.0) if must else (1.0,)
        ways = _WAYS[:1] if right_only else _WAYS
        tries += [(*way, away_mm * times) for times in farther for way in ways]
        best: tuple[float, Box, Point, Anchor] | None = None
        for right, down, anchor, away in tries:
            at, box = _laid(point, (right, down), anchor, wide, away, size_pt)
            cost = self._cost(box) + 50 * self._outside(box)
            if best is None or cost < best[0] - 1e-9:
                best = (cost, box, at, anchor)
            if cost == 0:
                break
        if best is None or (best[0] > 0 and not must):
            return ()
        _, box, at, anchor = best
        self._take(box)
        words = Text(at, text, size_pt, anchor, bold, role=role)
        return (ground(box), words)

    def led(
        self, point: Point, text: str, *, away_mm: float = 2.2, bold: bool = False
    ) -> tuple[Item, ...]:
        """The text beside a point; where that is taken, pushed away from it and led back by a line.

        It never lies on other words. On a mark it lies only where the frame has no other place,
        and it is left out where there is none at all: what it says stands in the title too.
        """
        near = self.beside(point, text, away_mm=away_mm, bold=bold, must=False)
        if near:
            return near
        wide = text_width_mm(text, bold=bold)
        boxes = list(self._pushed(point, wide + 0.7, text_height_mm() + 0.7, away_mm))
        free = [box for box, cost in zip(boxes, self._costs(boxes), strict=True) if cost == 0]
        free = free or [box for box in boxes if not _lies_on(box, self.words)]
        if not free:
            return ()
        box = next((box for box in free if self._is_clear(_leader(point, box))), free[0])
        line = _leader(point, box)
        self._take(box)
        self.taken.extend(_steps_along(line))
        foot = (box[0] + 0.35, box[3] - 0.35)
        words = Text(foot, text, SMALLEST_PT, bold=bold)
        return (Line(*line, Role.INK, Weight.HAIR), ground(box), words)

    def _is_clear(self, line: tuple[Point, Point]) -> bool:
        return not any(_lies_on(step, self.words) for step in _steps_along(line))

    def _pushed(self, point: Point, wide: float, tall: float, away_mm: float) -> Iterator[Box]:
        """Places in the frame, the nearest first: up and down beside the point, then farther."""
        left, top, right, bottom = self.frame
        columns = [point[0] + away_mm, point[0] - away_mm - wide]
        columns += [left + share * (right - left - wide) for share in (0.0, 0.25, 0.5, 0.75, 1.0)]
        rows = range(int((bottom - top - tall) / tall * 2) + 1)
        places = [(x, top + nth * tall / 2) for x in columns for nth in rows]
        inside = [(x, y) for x, y in places if left <= x and x + wide <= right]
        inside.sort(key=lambda at: hypot(at[0] + wide / 2 - point[0], at[1] + tall / 2 - point[1]))
        return ((x, y, x + wide, y + tall) for x, y in inside)

    def _take(self, box: Box) -> None:
        self.taken.append(box)
        self.words.append(box)

    def within(
        self, ring: tuple[Point, ...], texts: tuple[str, ...], size_pt: float = SMALLEST_PT
    ) -> tuple[Item, ...]:
        """The first of the texts that has a free place inside an area, along it; else nothing."""
        xs, ys = [x for x, _ in ring], [y for _, y in ring]
        room = (min(xs), min(ys), max(xs), max(ys))
        for text in texts:
            for standing in (False, True):
                laid = self.along(room, text, size_pt, bold=True, standing=standing, must=False)
                if laid:
                    return laid
        return ()

    def along(
        self,
        room: Box,
        text: str,
        size_pt: float = SMALLEST_PT,
        *,
        bold: bool = False,
        standing: bool = False,
        from_start: bool = False,
        must: bool = True,
    ) -> tuple[Item, ...]:
        """A text lying or standing (read upward) in a room, at the step with least under it.

        from_start: steps are tried from the room's left or top end, else from its middle.
        Nothing if the room is too small, or if `must` is False and every step is taken.
        """
        size = (text_width_mm(text, size_pt, bold=bold) + 1.0, text_height_mm(size_pt) + 0.7)
        if standing:
            size = size[::-1]
        spare = (room[2] - room[0] - size[0], room[3] - room[1] - size[1])
        if min(spare) < -1e-6:
            return ()
        boxes = []
        for share in sorted(_SHARES) if from_start else _SHARES:
            across, down = (0.5, share) if standing else (share, 0.5)
            x, y = room[0] + across * spare[0], room[1] + down * spare[1]
            boxes.append((x, y, x + size[0], y + size[1]))
        best = min(boxes, key=self._cost)
        if self._cost(best) > 0 and not must:
            return ()
        self._take(best)
        x, y, half = (best[0] + best[2]) / 2, (best[1] + best[3]) / 2, text_height_mm(size_pt) / 2
        foot = (x + half, y) if standing else (x, y + half)
        turn = -90.0 if standing else 0.0
        return (ground(best), Text(foot, text, size_pt, Anchor.MIDDLE, bold, turn))

    def _cost(self, box: Box) -> float:
        return self._costs([box])[0]

    def _costs(self, boxes: Sequence[Box]) -> list[float]:
        """Return how much of what is taken lies under each box, mm2, all boxes at once."""
        taken, ones = self._taken_table(), np.array(boxes, float).reshape(-1, 1, 4)
        wide = np.minimum(ones[..., 2], taken[:, 2]) - np.maximum(ones[..., 0], taken[:, 0])
        tall = np.minimum(ones[..., 3], taken[:, 3]) - np.maximum(ones[..., 1], taken[:, 1])
        shared = np.maximum(wide, 0.0) * np.maximum(tall, 0.0)
        costs: list[float] = shared.sum(axis=1).tolist()
        return costs

    def _taken_table(self) -> Table:
        """Return `taken` as rows; places are only ever added, so only the new ones are copied."""
        count = len(self.taken)
        if count > len(self._table):
            self._table = np.resize(self._table, (2 * count, 4))
        if count > self._count:
            self._table[self._count : count] = self.taken[self._count :]
            self._count = count
        return self._table[:count]

    def _outside(self, box: Box) -> float:
        left, top, right, bottom = self.frame
        return (
            max(0.0, left - box[0])
            + max(0.0, top - box[1])
            + max(0.0, box[2] - right)
            + max(0.0, box[3] - bottom)
        )


def ground(box: Box) -> Area:
    """Paper behind a text, so that no line runs through it."""
    left, top, right, bottom = box
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Area(corners, Role.PAPER, None)


def _lies_on(box: Box, others: Iterable[Box]) -> bool:
    return any(_shared(box, other) > 0 for other in others)


def _leader(point: Point, box: Box) -> tuple[Point, Point]:
    """A line from a point to the nearest place on the edge of a box."""
    x = min(max(point[0], box[0]), box[2])
    y = min(max(point[1], box[1]), box[3])
    return (point, (x, y))


def _steps_along(line: tuple[Point, Point]) -> list[Box]:
    """Small places along a line, half a millimetre apart; its last one ends before the words."""
    (x, y), (to_x, to_y) = line
    count = int(hypot(to_x - x, to_y - y) / 0.5)
    middles = [(x + (to_x - x) * n / count, y + (to_y - y) * n / count) for n in range(count)]
    return [(mx - 0.15, my - 0.15, mx + 0.15, my + 0.15) for mx, my in middles]


def _laid(
    point: Point,
    way: tuple[int, int],
    anchor: Anchor,
    wide: float,
    away_mm: float,
    size_pt: float,
) -> tuple[Point, Box]:
    """Foot point and box of a text put to one side of a point."""
    tall = text_height_mm(size_pt)
    diagonal = 0.75 if way[0] and way[1] else 1.0
    x = point[0] + way[0] * away_mm * diagonal
    middle = point[1] + way[1] * (away_mm * diagonal + tall / 2)
    left = {Anchor.START: x, Anchor.MIDDLE: x - wide / 2, Anchor.END: x - wide}[anchor]
    slack = 0.35
    box = (left - slack, middle - tall / 2 - slack, left + wide + slack, middle + tall / 2 + slack)
    return ((x, middle + tall / 2), box)


def _shared(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    tall = min(one[3], other[3]) - max(one[1], other[1])
    return wide * tall if wide > 0 and tall > 0 else 0.0
