"""Putting words beside marks so that they do not lie on each other."""

from dataclasses import dataclass, field

from registry.drawing.lettering import SMALLEST_PT, text_height_mm, text_width_mm
from registry.drawing.primitives import Anchor, Area, Item, Point, Role, Text

Box = tuple[float, float, float, float]
"""Left, top, right, bottom, mm."""

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

    def keep_off(self, middle: Point, size_mm: float) -> None:
        """A mark stands here; no label is put on it."""
        half = size_mm / 2
        self.taken.append((middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half))

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
        self.taken.append(box)
        words = Text(at, text, size_pt, anchor, bold, role=role)
        return (ground(box), words)

    def within(
        self, ring: tuple[Point, ...], texts: tuple[str, ...], size_pt: float = SMALLEST_PT
    ) -> tuple[Item, ...]:
        """The first of the texts that fits into an area, along it, where least lies under it."""
        xs, ys = [x for x, _ in ring], [y for _, y in ring]
        room = (min(xs), min(ys), max(xs), max(ys))
        for text in texts:
            for standing in (False, True):
                laid = self.along(room, text, size_pt, bold=True, standing=standing)
                if laid:
                    return laid
        middle = ((room[0] + room[2]) / 2, (room[1] + room[3]) / 2)
        return self.beside(middle, texts[-1], size_pt=size_pt, bold=True, here_first=True)

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
        self.taken.append(best)
        x, y, half = (best[0] + best[2]) / 2, (best[1] + best[3]) / 2, text_height_mm(size_pt) / 2
        foot = (x + half, y) if standing else (x, y + half)
        turn = -90.0 if standing else 0.0
        return (ground(best), Text(foot, text, size_pt, Anchor.MIDDLE, bold, turn))

    def _cost(self, box: Box) -> float:
        return sum(_shared(box, other) for other in self.taken)

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
