"""How many pavements are expected below their action level, month by month, and the crew-days.

Hollow marks on a dashed line: without the plan; full marks on a full line: with it. Bars at the
foot: crew-days of the month.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from registry.drawing.lettering import line_height_mm, text_height_mm, text_width_mm
from registry.drawing.primitives import (
    Anchor,
    Area,
    Drawing,
    DrawingError,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Polyline,
    Role,
    Symbol,
    Text,
    Weight,
)

_LEFT_MM = 12.0
_DASH_MM = (2.0, 1.2)
_BARS_MM = 14.0


@dataclass(frozen=True)
class MonthRisk:
    """One month: expected numbers of pavements on its last day, crew-days in it."""

    first_on: date
    without_plan: float
    with_plan: float
    crew_days: int


def season_chart(months: Sequence[MonthRisk], *, size_mm: tuple[float, float]) -> Drawing:
    """Draw the months side by side. Raises DrawingError for none, or where there is no room."""
    if not months:
        raise DrawingError("There is no month to draw.")
    width, height = size_mm
    top = 2 * line_height_mm() + 3.0
    foot = height - line_height_mm() - _BARS_MM - 2 * line_height_mm()
    column = (width - _LEFT_MM) / len(months)
    if foot - top < 15 or column < 6.0:
        raise DrawingError("There is no room on the paper for this picture.")
    most = _round_up(max(max(m.without_plan, m.with_plan) for m in months))
    middles = [_LEFT_MM + (n + 0.5) * column for n in range(len(months))]

    def y_at(number: float) -> float:
        return foot - number / most * (foot - top)

    items: list[Item] = _key(width)
    items += _grid(most, y_at(0), y_at(most), width)
    for name, hollow in (("without_plan", True), ("with_plan", False)):
        points = [(x, y_at(getattr(m, name))) for x, m in zip(middles, months, strict=True)]
        items += _line([getattr(m, name) for m in months], points, hollow=hollow)
    items += _bars(months, middles, column, height)
    items += _names(months, middles, column, foot + line_height_mm())
    title = "Pavements expected below their action level, by month"
    return Drawing(width, height, tuple(items), title, _described(months))


def _names(
    months: Sequence[MonthRisk], middles: Sequence[float], column: float, y: float
) -> list[Item]:
    """Name each month, or every second or third where they stand near."""
    step = math.ceil((text_width_mm("0000-00") + 1.5) / column)
    return [
        Text((x, y), f"{month.first_on:%Y-%m}", anchor=Anchor.MIDDLE)
        for month, x in list(zip(months, middles, strict=True))[::step]
    ]


def _key(width: float) -> list[Item]:
    y = text_height_mm() + 0.2
    x = text_width_mm("without the plan") + 16.0
    low = y + line_height_mm()
    return [
        Text((0.0, y), "pavements expected below their action level, end of month", bold=True),
        Line((0.0, low - 1.0), (8.0, low - 1.0), Role.INK, Weight.THIN, _DASH_MM),
        Mark((4.0, low - 1.0), Symbol.DISC, 2.4, hollow=True),
        Text((10.0, low), "without the plan"),
        Line((x, low - 1.0), (x + 8.0, low - 1.0), Role.INK, Weight.THICK),
        Mark((x + 4.0, low - 1.0), Symbol.SQUARE, 2.4),
        Text((x + 10.0, low), "with the plan"),
    ]


def _round_up(number: float) -> float:
    """The next 1, 2 or 5 times a power of ten; at least a tenth."""
    number = max(number * 1.05, 0.1)
    power = 10.0 ** math.floor(math.log10(number))
    return min(step * power for step in (1, 2, 5, 10) if step * power >= number * (1 - 1e-12))


def _grid(most: float, foot: float, top: float, right: float) -> list[Item]:
    items: list[Item] = []
    for nth in range(6):
        value = most * nth / 5
        y = foot - (foot - top) * nth / 5
        items.append(Line((_LEFT_MM, y), (right, y), Role.PALE, Weight.HAIR))
        place = (_LEFT_MM - 1.5, y + text_height_mm() / 2)
        items.append(Text(place, f"{value:.10g}", anchor=Anchor.END))
    return items


def _line(values: Sequence[float], points: Sequence[Point], *, hollow: bool) -> list[Item]:
    look = (Weight.THIN, _DASH_MM) if hollow else (Weight.THICK, ())
    items: list[Item] = [Polyline(tuple(points), Role.INK, *look)]
    symbol = Symbol.DISC if hollow else Symbol.SQUARE
    which = "without" if hollow else "with"
    for value, at in zip(values, points, strict=True):
        mark = Mark(at, symbol, 2.4, hollow=hollow)
        items.append(Group((mark,), title=f"{which} the plan {value:.2f}"))
    return items


def _bars(
    months: Sequence[MonthRisk], middles: Sequence[float], column: float, height: float
) -> list[Item]:
    """Crew-days of each month as bars, their number above."""
    most, foot = max(max(m.crew_days for m in months), 1), height - line_height_mm()
    room = _BARS_MM - line_height_mm()
    items: list[Item] = [Line((_LEFT_MM, foot), (middles[-1] + column / 2, foot))]
    items.append(Text((0.0, foot - room), "crew-days"))
    for month, x in zip(months, middles, strict=True):
        tall, half = month.crew_days / most * room, min(column * 0.25, 5.0)
        if month.crew_days:
            ring = ((x - half, foot), (x - half, foot - tall), (x + half, foot - tall))
            items.append(Area((*ring, (x + half, foot)), Role.PALE, Role.INK))
        items.append(Text((x, height - 0.8), str(month.crew_days), anchor=Anchor.MIDDLE))
    return items


def _described(months: Sequence[MonthRisk]) -> str:
    """All figures in words, for those who do not see."""
    return "; ".join(
        f"{m.first_on:%Y-%m}: {m.without_plan:.2f} without the plan, {m.with_plan:.2f} with it, "
        f"{m.crew_days} crew-day{'' if m.crew_days == 1 else 's'}"
        for m in months
    )
