"""The panels of a plan with the limits of the loads laid over them.

Panels are thin outlines with their names and a note; where a load begins and ends is a thick line
across its lane, and its name stands beside it. What has no room in a panel is left to the table.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from registry.drawing.primitives import (
    Anchor,
    Area,
    Drawing,
    Item,
    Line,
    Point,
    Role,
    Text,
    Weight,
)

NAME_ROOM_MM, NOTE_ROOM_MM = (7.0, 4.6), 14.0
LOAD_WIDE_MM, LETTERS_MM, BAND_MM = 11.0, 3.2, 4.6


@dataclass(frozen=True)
class PanelDrawn:
    """Outline in plan coordinates, m; `note` stands beside the name where there is room."""

    name: str
    outline: tuple[Point, ...]
    note: str = ""


@dataclass(frozen=True)
class LimitDrawn:
    """A part of a load: its lane from left to right, and from where to where, m."""

    load: str
    left_m: float
    right_m: float
    from_m: float
    to_m: float


def load_picture(
    panels: Sequence[PanelDrawn], limits: Sequence[LimitDrawn], size_mm: Point
) -> Drawing:
    """Draw both to one scale within a size. ValueError where there is no panel."""
    points = [point for panel in panels for point in panel.outline]
    left, low = min(x for x, _ in points), min(y for _, y in points)
    wide = max(x for x, _ in points) - left
    high = max(y for _, y in points) - low
    scale = min((size_mm[0] - 2) / wide, (size_mm[1] - 10) / high)
    height = high * scale + 10

    def place(x: float, y: float) -> Point:
        return (1 + (x - left) * scale, height - 6 - (y - low) * scale)

    items: list[Item] = []
    outlines = [tuple(place(*point) for point in panel.outline) for panel in panels]
    items += [Area(outline) for outline in outlines]
    heads = sorted({min(y for _, y in outline) for outline in outlines})
    for limit in limits:
        ends = (place(limit.left_m, limit.from_m), place(limit.right_m, limit.to_m))
        items += _limit(limit, *ends, heads)
    for panel, outline in zip(panels, outlines, strict=True):
        items += _names(panel, outline)
    items.append(Text((1.0, height - 1.2), "Datum line at the foot; up is up on this page."))
    return Drawing(size_mm[0], height, tuple(items), "Limits of the loads over the panels")


def _names(panel: PanelDrawn, outline: tuple[Point, ...]) -> list[Item]:
    """Name and note at the upper edge, on white where a limit runs through them."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    if wide < NAME_ROOM_MM[0] or high < NAME_ROOM_MM[1]:
        return []
    foot = min(ys) + 3.8
    items = [
        _white(min(xs) + 0.4, foot, 2.3 * len(panel.name)),
        Text((min(xs) + 0.8, foot), panel.name, bold=True),
    ]
    if panel.note and wide >= NOTE_ROOM_MM:
        right, width = max(xs) - 0.8, 1.9 * len(panel.note)
        items.append(_white(right - width, foot, width))
        items.append(Text((right, foot), panel.note, anchor=Anchor.END))
    return items


def _white(x: float, foot: float, width: float) -> Item:
    """A piece of paper under words."""
    top = foot - LETTERS_MM + 0.2
    corners = ((x, top), (x + width, top), (x + width, foot + 0.3), (x, foot + 0.3))
    return Area(corners, fill=Role.PAPER, edge=None)


def _limit(limit: LimitDrawn, foot: Point, top: Point, heads: Sequence[float]) -> list[Item]:
    """Both lines, and the name where it meets no name of a panel; heads: upper edges of panels."""
    items: list[Item] = [
        Line((foot[0], y), (top[0], y), weight=Weight.THICK) for y in (foot[1], top[1])
    ]
    at = foot[1] - 1.2
    while any(head - 0.5 < at and at - LETTERS_MM < head + BAND_MM for head in heads):
        at -= 0.5
    if top[0] - foot[0] >= LOAD_WIDE_MM and at - LETTERS_MM > top[1]:
        items.append(Text((top[0] - 0.8, at), f"load {limit.load}", anchor=Anchor.END))
    return items
