"""Marks drawn on a picture: plain data kept apart from it, so that the picture stays as taken.

Points are fractions of the picture as seen, x from the left edge and y from the upper edge, so
that a mark sits right on every size of it. Stored form, a list of:

    {"kind": "arrow", "points": [[0.2, 0.3], [0.4, 0.5]], "words": ""}
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from registry.imaging.faults import MarksRefused

Fraction = tuple[float, float]
MOST_MARKS = 100
MOST_POINTS = 500
LONGEST_WORDS = 120


class MarkKind(StrEnum):
    ARROW = "arrow"  # from its tail to its point
    RING = "ring"  # middle, and a point on it
    LINE = "line"
    OUTLINE = "outline"
    WORDS = "words"  # set at one point


_POINTS = {
    MarkKind.ARROW: (2, 2),
    MarkKind.RING: (2, 2),
    MarkKind.LINE: (2, MOST_POINTS),
    MarkKind.OUTLINE: (3, MOST_POINTS),
    MarkKind.WORDS: (1, 1),
}


@dataclass(frozen=True)
class Mark:
    """One mark; words may stand at any kind and must at `words`. MarksRefused if it is none."""

    kind: MarkKind
    points: tuple[Fraction, ...]
    words: str = ""

    def __post_init__(self) -> None:
        fewest, most = _POINTS[self.kind]
        if not fewest <= len(self.points) <= most:
            wanted = f"{fewest}" if fewest == most else f"{fewest} to {most}"
            raise MarksRefused(f"A mark of kind “{self.kind}” takes {wanted} points.")
        if not all(math.isfinite(part) and 0 <= part <= 1 for xy in self.points for part in xy):
            raise MarksRefused("A mark must lie within the picture.")
        if len(self.points) > 1 and len(set(self.points)) == 1:
            raise MarksRefused("A mark has all its points in one place.")
        if len(self.words) > LONGEST_WORDS or not self.words.isprintable():
            raise MarksRefused(f"The words of a mark are one line of up to {LONGEST_WORDS} signs.")
        if self.kind is MarkKind.WORDS and not self.words.strip():
            raise MarksRefused("Words set on the picture are empty.")


def read_marks(stored: object) -> tuple[Mark, ...]:
    """Marks from their stored form, as parsed from JSON. MarksRefused says what is wrong."""
    if not isinstance(stored, Sequence) or isinstance(stored, str | bytes):
        raise MarksRefused("Marks come as a list.")
    if len(stored) > MOST_MARKS:
        raise MarksRefused(f"A picture takes up to {MOST_MARKS} marks.")
    return tuple(_read_mark(one) for one in stored)


def write_marks(marks: Sequence[Mark]) -> list[dict[str, object]]:
    """The stored form, ready for JSON."""
    return [
        {
            "kind": mark.kind.value,
            "points": [list(point) for point in mark.points],
            "words": mark.words,
        }
        for mark in marks
    ]


def _read_mark(stored: object) -> Mark:
    if not isinstance(stored, Mapping) or not set(stored) <= {"kind", "points", "words"}:
        raise MarksRefused("A mark has a kind, points and words, and nothing else.")
    kind, words = stored.get("kind"), stored.get("words", "")
    if not isinstance(kind, str) or kind not in set(MarkKind):
        known = ", ".join(MarkKind)
        raise MarksRefused(f"“{kind}” is no kind of mark. Known are: {known}.")
    if not isinstance(words, str):
        raise MarksRefused("The words of a mark are text.")
    return Mark(MarkKind(kind), _read_points(stored.get("points")), words)


def _read_points(stored: object) -> tuple[Fraction, ...]:
    if not isinstance(stored, list | tuple) or len(stored) > MOST_POINTS:
        raise MarksRefused(f"The points of a mark are a list of up to {MOST_POINTS}.")
    points = []
    for one in stored:
        if not isinstance(one, list | tuple) or [_is_number(part) for part in one] != [True, True]:
            raise MarksRefused("A point of a mark is two numbers.")
        points.append((float(one[0]), float(one[1])))
    return tuple(points)


def _is_number(part: object) -> bool:
    # JSON knows numbers too large for a float, and Python reads True as 1.
    return isinstance(part, int | float) and not isinstance(part, bool) and abs(part) <= 1e9
