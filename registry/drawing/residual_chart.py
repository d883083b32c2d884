"""What a fit leaves over: residuals counted in cells, against what was fitted or against age.

Each square stands for the tests in its cell, its area growing with their number. Where all that
was assumed holds they scatter evenly about the line of 0, nineteen in twenty within plus and
minus 2, and no bend runs along the axis.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from registry.drawing.lettering import line_height_mm, text_height_mm, text_width_mm
from registry.drawing.primitives import (
    Anchor,
    Area,
    Drawing,
    DrawingError,
    Group,
    Item,
    Line,
    Role,
    Text,
    Weight,
)

_LEFT_MM = 9.0
_TICKS = (-4, -2, 0, 2, 4)


@dataclass(frozen=True)
class Across:
    """The axis along: its words, and the ticks as (share of the way from 0 to 1, figure)."""

    words: str
    ticks: Sequence[tuple[float, str]]


@dataclass(frozen=True)
class Counted:
    """A grid of columns and rows, rows from -furthest to furthest; (column, row, tests)."""

    columns: int
    rows: int
    furthest: float
    counts: Sequence[tuple[int, int, int]]


def residual_chart(counted: Counted, across: Across, *, size_mm: tuple[float, float]) -> Drawing:
    """Draw one. Raises DrawingError where the size leaves no room."""
    width, height = size_mm
    top, foot = line_height_mm() + 2.0, height - 2 * line_height_mm() - 3.0
    right = width - 3.0
    if foot - top < 15 or right - _LEFT_MM < 30:
        raise DrawingError("There is no room on the paper for this picture.")

    def y_at(residual: float) -> float:
        return foot - (residual / counted.furthest + 1) / 2 * (foot - top)

    items: list[Item] = [Text((0.0, text_height_mm() + 0.2), "residual, standardised", bold=True)]
    items += _grid(y_at, right)
    items += _axis(across, right, foot, top)
    most = max((count for *_, count in counted.counts), default=1)
    cell = ((right - _LEFT_MM) / counted.columns, (foot - top) / counted.rows)
    for column, row, count in counted.counts:
        middle = (_LEFT_MM + (column + 0.5) * cell[0], foot - (row + 0.5) * cell[1])
        items.append(_square(middle, min(cell), count, most))
    items.append(Text(((_LEFT_MM + right) / 2, height - 1.2), across.words, anchor=Anchor.MIDDLE))
    total = sum(count for *_, count in counted.counts)
    title = f"Residuals of {total} tests against {across.words}"
    return Drawing(width, height, tuple(items), title, _described(counted))


def _grid(y_at: Callable[[float], float], right: float) -> list[Item]:
    items: list[Item] = []
    for tick in _TICKS:
        y, inner = y_at(tick), abs(tick) == 2
        look = Role.INK if tick == 0 else Role.PALE
        dash = (1.5, 1.2) if inner else ()
        items.append(Line((_LEFT_MM, y), (right, y), look, Weight.THIN, dash))
        figure = f"{tick:+d}".replace("-", "−") if tick else "0"
        items.append(Text((_LEFT_MM - 1.0, y + 1.1), figure, anchor=Anchor.END))
    return items


def _axis(across: Across, right: float, foot: float, top: float) -> list[Item]:
    items: list[Item] = []
    free_from = -math.inf
    for share, figure in across.ticks:
        x, half = _LEFT_MM + share * (right - _LEFT_MM), text_width_mm(figure) / 2
        items.append(Line((x, top), (x, foot + 1.0), Role.PALE, Weight.HAIR))
        if x - half > free_from:
            items.append(Text((x, foot + line_height_mm()), figure, anchor=Anchor.MIDDLE))
            free_from = x + half + 1.5
    return items


def _square(middle: tuple[float, float], cell_mm: float, count: int, most: int) -> Item:
    """Area as the count; one test among very many is still seen."""
    side = max(cell_mm * 0.95 * math.sqrt(count / most), 0.55)
    x, y, half = middle[0], middle[1], side / 2
    ring = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
    square = Area(ring, Role.INK, None)
    return Group((square,), title=f"{count} test{'' if count == 1 else 's'}")


def _described(counted: Counted) -> str:
    """How many lie where, for those who do not see."""
    step = 2 * counted.furthest / counted.rows
    total = sum(count for *_, count in counted.counts)
    if not total:
        return "No test with a number."
    middles = [(-counted.furthest + (row + 0.5) * step, count) for _, row, count in counted.counts]
    beyond = sum(count for middle, count in middles if abs(middle) > 2)
    above = sum(count for middle, count in middles if middle > 0)
    return f"{above} lie above 0, {total - above} below; {beyond} beyond plus or minus 2."
