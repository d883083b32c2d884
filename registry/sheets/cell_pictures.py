"""The plan block as cells of at least 6 mm, 20 across and 12 down, on as many pages as it takes.

Split at a letter, or at a number where lanes are longer than the paper; the lane or row at the
split stands on both pages.
"""

import itertools
import math
from dataclasses import dataclass

from registry.drawing.known_marks import defect_items
from registry.drawing.labels import Labels
from registry.drawing.lettering import SMALLEST_PT, text_height_mm
from registry.drawing.plan_caption import described, title_of
from registry.drawing.plan_marks import PlanContent
from registry.drawing.plan_things import feature_items, spot_items
from registry.drawing.primitives import (
    Anchor,
    Area,
    Drawing,
    Item,
    Mark,
    Point,
    Symbol,
    Text,
)
from registry.sheets.cell_frame import CellFrame, CellGrid, grid_of_panels, grid_of_squares

ACROSS, DOWN = 20, 12
LEAST_CELL_MM = 6.0
_MOST_CELL_MM = 12.0
_SIDE_MM, _END_MM = 5.6, 4.0  # numbers at the sides, letters at the ends


@dataclass(frozen=True)
class Part:
    """First and last column and row of one page, by index."""

    columns: tuple[int, int]
    rows: tuple[int, int]


def grid_of(content: PlanContent) -> CellGrid | None:
    """The grid of a plan of panels or squares; None for a path, which has stations."""
    if content.panels:
        return grid_of_panels(content.panels)
    if content.layout.squares is not None:
        return grid_of_squares(content.layout.squares)
    return None


def split(grid: CellGrid) -> tuple[tuple[Part, ...], bool]:
    """The fewest parts that 20 x 12 cells hold, and whether they are turned."""
    ways = []
    for turned in (False, True):
        most = (DOWN, ACROSS) if turned else (ACROSS, DOWN)
        parts = tuple(
            Part(columns, rows)
            for columns in _runs(len(grid.columns), most[0])
            for rows in _runs(len(grid.rows), most[1])
        )
        ways.append((parts, turned))
    # Of two ways with as many parts the one that is split at letters alone.
    return min(ways, key=lambda way: (len(way[0]), len({part.rows for part in way[0]})))


def _runs(count: int, most: int) -> list[tuple[int, int]]:
    """Runs of at most `most` of `count`; the last of one is the first of the next."""
    if count <= most:
        return [(0, count - 1)]
    pieces = math.ceil((count - 1) / (most - 1))
    cuts = [round(nth * (count - 1) / pieces) for nth in range(pieces + 1)]
    return list(itertools.pairwise(cuts))


def cell_pictures(
    content: PlanContent, grid: CellGrid, size_mm: tuple[float, float]
) -> tuple[tuple[Drawing, str, bool], ...]:
    """Each part: the drawing, what it shows in words ("" for the whole), whether it is turned."""
    parts, turned = split(grid)
    return tuple(
        (
            _picture(content, grid, part, turned, size_mm),
            _words(grid, part) if len(parts) > 1 else "",
            turned,
        )
        for part in parts
    )


def _words(grid: CellGrid, part: Part) -> str:
    columns = f"{grid.columns[part.columns[0]]} to {grid.columns[part.columns[1]]}"
    if part.rows == (0, len(grid.rows) - 1):
        return columns
    return f"{columns}, {grid.rows[part.rows[0]]} to {grid.rows[part.rows[1]]}"


def _picture(
    content: PlanContent,
    grid: CellGrid,
    part: Part,
    turned: bool,
    size_mm: tuple[float, float],
) -> Drawing:
    frame = _frame(grid, part, turned, size_mm)
    labels = Labels((0.0, 0.0, *size_mm))
    names = _names(frame)
    for name in names:
        labels.keep_off((name.at[0], name.at[1] - 1.2), 4.0)
    items: list[Item] = [*_grid_items(frame), *names]
    items.extend(feature_items(content.layout, content.on, frame, labels))
    items.extend(_datum(frame, labels))
    items.extend(defect_items(content.defects, frame, labels))
    items.extend(spot_items(content.spots, frame, labels))
    return Drawing(*size_mm, tuple(items), title_of(content), described(content))


def _frame(grid: CellGrid, part: Part, turned: bool, size_mm: tuple[float, float]) -> CellFrame:
    unsized = CellFrame(grid, part.columns, part.rows, (0.0, 0.0), (1.0, 1.0), turned)
    across, down = unsized.counts
    room = (size_mm[0] - 2 * _SIDE_MM, size_mm[1] - 2 * _END_MM)
    cell = (min(_MOST_CELL_MM, room[0] / across), min(_MOST_CELL_MM, room[1] / down))
    corner = (
        _SIDE_MM + (room[0] - cell[0] * across) / 2,
        _END_MM + (room[1] - cell[1] * down) / 2,
    )
    return CellFrame(grid, part.columns, part.rows, corner, cell, turned)


def _grid_items(frame: CellFrame) -> list[Item]:
    """Outlines of the panels, saw-cut parts too, or of the squares."""
    items: list[Item] = []
    for cell in frame.shown:
        for outline in [panel.polygon for panel in cell.panels] or [cell.outline]:
            corners = tuple(outline.exterior.coords)[:-1]
            items.append(Area(tuple(frame.inside(cell, corner) for corner in corners)))
    return items


def _datum(frame: CellFrame, labels: Labels) -> list[Item]:
    """The datum's cross at the home corner of the first panel, small beside the letters."""
    at = frame.at((0.0, 0.0))
    if at is None:
        return []
    labels.keep_off(at, 3.0)
    return [Mark(at, Symbol.DATUM, 3.0)]


def _names(frame: CellFrame) -> list[Text]:
    """Letters and numbers on both sides."""
    left, top, right, bottom = frame.box
    columns = range(frame.columns[0], frame.columns[1] + 1)
    rows = range(frame.rows[0], frame.rows[1] + 1)
    middle_rows = [(frame.grid.rows[row], frame.put(0, row + 0.5)) for row in rows]
    middle_columns = [(frame.grid.columns[col], frame.put(col + 0.5, 0)) for col in columns]
    across, down = (middle_rows, middle_columns) if frame.turned else (middle_columns, middle_rows)
    items: list[Text] = []
    for y in (top - 2.0, bottom + 2.0):
        items += [_centred((at[0], y), name) for name, at in across]
    for x in (left - 2.9, right + 2.9):
        items += [_centred((x, at[1]), name) for name, at in down]
    return items


def _centred(middle: Point, text: str) -> Text:
    foot = (middle[0], middle[1] + text_height_mm() / 2)
    return Text(foot, text, SMALLEST_PT, Anchor.MIDDLE, bold=True)
