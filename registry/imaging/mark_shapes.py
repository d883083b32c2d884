"""Marks as plain shapes in the pixels of one size of the picture, ready for any pen."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from registry.imaging.marks import Fraction, Mark, MarkKind

_HEAD = 0.03
"""Length of an arrow's head, as a share of the longer side."""
_HEAD_ANGLE = math.radians(25)
_FROM_POINT = 0.012
"""Between a mark and its words, as a share of the longer side."""


@dataclass(frozen=True)
class Shape:
    """kind "path" (a line through points), "ring" or "words"; numbers in pixels, y down.

    path   points as SVG writes them, "10,20 30,40"; closed where it goes back to its first
    ring   cx, cy, r
    words  text at x, y
    """

    kind: str
    points: str = ""
    is_closed: bool = False
    x: float = 0.0
    y: float = 0.0
    r: float = 0.0
    text: str = ""


def shapes_of(marks: Sequence[Mark], width_px: int, height_px: int) -> tuple[Shape, ...]:
    """Return the shapes of marks, each mark's words beside its first point."""
    size = (width_px, height_px)
    found: list[Shape] = []
    for mark in marks:
        points = [(x * width_px, y * height_px) for x, y in mark.points]
        if mark.kind is MarkKind.RING:
            (x, y), edge = points
            found.append(Shape("ring", x=_px(x), y=_px(y), r=_px(math.dist((x, y), edge))))
        elif mark.kind is not MarkKind.WORDS:
            is_closed = mark.kind is MarkKind.OUTLINE
            found.append(Shape("path", points=_written(points), is_closed=is_closed))
        if mark.kind is MarkKind.ARROW:
            found.append(Shape("path", points=_written(_head(points[0], points[1], max(size)))))
        if mark.words:
            found.append(_words(mark, points[0], max(size)))
    return tuple(found)


def _head(tail: Fraction, tip: Fraction, longest: int) -> list[Fraction]:
    back = math.atan2(tail[1] - tip[1], tail[0] - tip[0])
    reach = _HEAD * longest
    first, last = (
        (tip[0] + reach * math.cos(back + turn), tip[1] + reach * math.sin(back + turn))
        for turn in (_HEAD_ANGLE, -_HEAD_ANGLE)
    )
    return [first, tip, last]


def _words(mark: Mark, at: Fraction, longest: int) -> Shape:
    away = 0.0 if mark.kind is MarkKind.WORDS else _FROM_POINT * longest
    return Shape("words", x=_px(at[0] + away), y=_px(at[1] - away), text=mark.words)


def _written(points: Sequence[Fraction]) -> str:
    return " ".join(f"{_px(x):g},{_px(y):g}" for x, y in points)


def _px(value: float) -> float:
    return round(value, 1)
