"""The ground of a plan picture: panels, squares or the path, with their letters and stations."""

from collections import Counter
from datetime import date

from registry.drawing.frames import ScaleFrame, StripFrame
from registry.drawing.labels import Labels
from registry.drawing.lettering import SMALLEST_PT, text_height_mm, text_width_mm
from registry.drawing.primitives import (
    Anchor,
    Area,
    DrawingError,
    Group,
    Item,
    Line,
    Point,
    Polyline,
    Role,
    Text,
    Weight,
)
from registry.plan import Layout, OffsetFrom, Panel
from registry.plan.lengths import METRES_PER_FOOT, with_unit
from registry.plan.panels import lane_of
from registry.plan.writing import write_station
from registry.units import System

_AWAY_MM = 3.6  # letters and numbers from the outermost joint


def panel_items(panels: tuple[Panel, ...], layout: Layout, frame: ScaleFrame) -> list[Item]:
    """Panels with their joints; younger concrete than the rest has a thick edge."""
    first = min((panel.placed_on for panel in panels if panel.placed_on), default=None)
    items: list[Item] = []
    for panel in sorted(panels, key=lambda panel: _is_new(panel, first)):
        new = _is_new(panel, first)
        size = f"{with_unit(panel.width_m, layout.system)} × "
        size += with_unit(panel.length_m, layout.system)
        placed = f", placed {panel.placed_on.isoformat()}" if panel.placed_on else ""
        for ring in frame.ring(tuple(panel.polygon.exterior.coords)[:-1]):
            area = Area(ring, None, Role.INK, Weight.THICK if new else Weight.THIN)
            items.append(Group((area,), title=f"{panel.name}, {size}{placed}"))
    return items


def _is_new(panel: Panel, first: date | None) -> bool:
    """Placed more than 60 days after the first of the shown panels: a later pour, not day two."""
    return first is not None and panel.placed_on is not None and (panel.placed_on - first).days > 60


def new_concrete(panels: tuple[Panel, ...]) -> str:
    """ "new concrete: C8 2025-05-13", for the caption; "" if there is none."""
    first = min((panel.placed_on for panel in panels if panel.placed_on), default=None)
    days: dict[date, list[str]] = {}
    for panel in panels:
        if panel.placed_on is not None and _is_new(panel, first):
            days.setdefault(panel.placed_on, []).append(panel.name)
    texts = []
    for day, names in sorted(days.items()):
        shown = ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
        texts.append(f"{shown} placed {day.isoformat()}")
    return "; ".join(texts)


def letter_items(panels: tuple[Panel, ...], frame: ScaleFrame) -> list[Text]:
    """Letters at both ends of the lanes, numbers on both sides.

    On a straight plan they stand along its edges like the letters of a map; where lanes curve
    they stand at the ends of each lane and row.
    """
    straight = all(panel.turned_deg == 0 for panel in panels)
    items: list[Text] = []
    for letter in sorted({panel.letter for panel in panels}, key=lane_of):
        lane = [panel for panel in panels if panel.letter == letter]
        low = min(lane, key=lambda panel: (panel.number, panel.suffix))
        high = max(lane, key=lambda panel: (panel.number, panel.suffix))
        items.extend(_pair(letter, low, high, frame, upward=True, straight=straight))
    every = _every(panels, frame)
    for number in sorted({panel.number for panel in panels}):
        if every > 1 and number % every and number != 1:
            continue
        row = [panel for panel in panels if panel.number == number]
        left = min(row, key=lambda panel: (panel.panel_name.lane, panel.suffix))
        right = max(row, key=lambda panel: (panel.panel_name.lane, panel.suffix))
        items.extend(_pair(str(number), left, right, frame, upward=False, straight=straight))
    return items


def _every(panels: tuple[Panel, ...], frame: ScaleFrame) -> int:
    """Every how manieth number has room."""
    pitch = min(_whole(panels), key=lambda panel: panel.length_m).length_m * frame.mm_per_m
    room = text_width_mm("88") + 1 if frame.turned else text_height_mm() + 1
    step = next((step for step in (1, 2, 5, 10, 20, 50, 1000) if pitch * step >= room), None)
    if step is None:
        raise DrawingError(
            "Some panels are far too small beside the whole plan to be drawn; check the lengths."
        )
    return step


def _whole(panels: tuple[Panel, ...]) -> tuple[Panel, ...]:
    return tuple(panel for panel in panels if not panel.suffix) or panels


def _pair(
    text: str, first: Panel, last: Panel, frame: ScaleFrame, *, upward: bool, straight: bool
) -> tuple[Text, Text]:
    """The same letter or number before its first and past its last panel."""
    away = _AWAY_MM / frame.mm_per_m
    left, bottom, right, top = frame.extent
    if upward:
        start = first.to_plan(first.width_m / 2, -away)
        end = last.to_plan(last.width_m / 2, last.length_m + away)
        if straight:
            start, end = (start[0], bottom - away), (end[0], top + away)
    else:
        start = first.to_plan(-away, first.length_m / 2)
        end = last.to_plan(last.width_m + away, last.length_m / 2)
        if straight:
            start, end = (left - away, start[1]), (right + away, end[1])
    return (_centred(frame.put(start), text), _centred(frame.put(end), text))


def _centred(middle: Point, text: str) -> Text:
    foot = (middle[0], middle[1] + text_height_mm() / 2)
    return Text(foot, text, SMALLEST_PT, Anchor.MIDDLE, bold=True)


def part_names(panels: tuple[Panel, ...], frame: ScaleFrame, labels: Labels) -> list[Item]:
    """Names of saw-cut parts, inside them where they fit."""
    items: list[Item] = []
    for panel in panels:
        if not panel.suffix:
            continue
        at = frame.at(panel.centre)
        fits = panel.width_m * frame.mm_per_m > text_width_mm(panel.name)
        if at is not None and fits:
            items.extend(labels.beside(at, panel.name, here_first=True, must=False))
    return items


def square_items(layout: Layout, frame: ScaleFrame) -> list[Item]:
    """Squares of a paver lot with their counts on both sides."""
    squares = layout.squares
    if squares is None:
        return []
    side, wide, tall = squares.side_m, squares.rights * squares.side_m, squares.ups * squares.side_m
    lines = [((at * side, 0.0), (at * side, tall)) for at in range(squares.rights + 1)]
    lines += [((0.0, at * side), (wide, at * side)) for at in range(squares.ups + 1)]
    items: list[Item] = [
        Polyline(part, Role.PALE if layout.outline else Role.INK)
        for line in lines
        for part in frame.line(line)
    ]
    away = _AWAY_MM / frame.mm_per_m
    for right in range(1, squares.rights + 1):
        for up in (-away, tall + away):
            items.append(_centred(frame.put(((right - 0.5) * side, up)), str(right)))
    for up in range(1, squares.ups + 1):
        for right_m in (-away, wide + away):
            items.append(_centred(frame.put((right_m, (up - 0.5) * side)), str(up)))
    return items


def outline_items(layout: Layout, frame: ScaleFrame) -> list[Item]:
    if not layout.outline:
        return []
    return [Area(ring, None, Role.INK, Weight.THICK) for ring in frame.ring(tuple(layout.outline))]


def path_items(frame: StripFrame, layout: Layout) -> list[Item]:
    """The path as rows: edges, ends, center line, stations along the left edge."""
    items: list[Item] = []
    for row in range(frame.rows):
        start, stop = row * frame.row_m, (row + 1) * frame.row_m
        for across in (0.0, frame.width_m):
            ends = (frame.put(row, start, across), frame.put(row, stop, across))
            items.append(Line(*ends, weight=Weight.THICK))
        for station, outer in ((start, row == 0), (stop, row == frame.rows - 1)):
            ends = (frame.put(row, station, 0.0), frame.put(row, station, frame.width_m))
            weight = Weight.THICK if outer else Weight.THIN
            items.append(Line(*ends, weight=weight, dash_mm=() if outer else (1.2, 1.2)))
        if frame.baseline.offset_from == OffsetFrom.CENTER:
            middle = frame.width_m / 2
            ends = (frame.put(row, start, middle), frame.put(row, stop, middle))
            items.append(Line(*ends, role=Role.PALE, dash_mm=(4.0, 1.5)))
        items.extend(_station_marks(frame, row, layout.system))
    return items


_STEPS = (5, 10, 20, 25, 50, 100, 200, 500, 1000, 10_000)
"""Feet or metres between two stations that are written out."""


def _station_marks(frame: StripFrame, row: int, system: System) -> list[Item]:
    unit = METRES_PER_FOOT if system == System.INCH_POUND else 1.0
    room = text_width_mm("9+999") + 3
    step = next((step for step in _STEPS if step * unit * frame.mm_per_m >= room), None)
    if step is None:
        raise DrawingError(
            "The path is far too long or too wide to be drawn; check its length and width."
        )
    start, stop = row * frame.row_m, (row + 1) * frame.row_m
    items: list[Item] = []
    nth = round(-(-(start - 1e-6) // (step * unit)))
    while nth * step * unit <= stop + 1e-6:
        at = frame.put(row, nth * step * unit, 0.0)
        items.append(Line(at, (at[0], at[1] - 1.6)))
        text = write_station(nth * step * unit, system)
        # The datum's cross stands at 0+00; its words stand clear of it, and of the next ones.
        above = 3.5 if nth == 0 else 2.4
        items.append(Text((at[0], at[1] - above), text, SMALLEST_PT, Anchor.MIDDLE))
        nth += 1
    return items


def grounds_in_words(layout: Layout, panels: tuple[Panel, ...]) -> str:
    """One sentence on what the plan shows, for those who do not see it."""
    if panels:
        lanes = Counter(panel.letter for panel in panels)
        names = sorted(lanes, key=lane_of)
        return f"{len(panels)} panels in lanes {names[0]} to {names[-1]}."
    if layout.squares is not None:
        side = with_unit(layout.squares.side_m, layout.system)
        return f"{layout.squares.rights} × {layout.squares.ups} squares of {side} from the datum."
    end = write_station(layout.any_baseline.length_m, layout.system)
    return f"Path from station 0+00 to {end}."
