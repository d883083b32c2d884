"""A plan as equal cells: for lots with more panels than can be drawn to scale at 6 mm.

Each panel, or each square of a paver lot, fills one cell, whatever its true size; a point keeps
its share of the panel's width and length. Letters run across and numbers up, or, turned, numbers
across and letters down, so that up is to the right.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from shapely import LineString, Polygon, box
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from registry.drawing.labels import Box
from registry.drawing.primitives import Point
from registry.plan import Panel, Squares


@dataclass(frozen=True)
class Cell:
    """A panel with its place in the grid; several where a saw cut made parts of one."""

    column: int
    row: int
    panels: tuple[Panel, ...]
    outline: Polygon

    def share(self, point: Point) -> Point:
        """How far right and up of its home corner a point lies, 0 to 1 inside."""
        if len(self.panels) == 1:
            panel = self.panels[0]
            right, up = panel.to_panel(*point)
            return (right / panel.width_m, up / panel.length_m)
        left, bottom, right, top = self.outline.bounds
        return ((point[0] - left) / (right - left), (point[1] - bottom) / (top - bottom))


@dataclass(frozen=True)
class CellGrid:
    """All cells of a plan on a day, and the names of their columns and rows."""

    cells: tuple[Cell, ...]
    columns: tuple[str, ...]
    rows: tuple[str, ...]

    @cached_property
    def by_place(self) -> dict[tuple[int, int], Cell]:
        return {(cell.column, cell.row): cell for cell in self.cells}


def grid_of_panels(panels: Iterable[Panel]) -> CellGrid:
    """Lanes as columns, numbers as rows."""
    groups: dict[tuple[int, int], list[Panel]] = defaultdict(list)
    letters: dict[int, str] = {}
    for panel in panels:
        lane = panel.panel_name.lane
        letters[lane] = panel.letter
        groups[lane, panel.number].append(panel)
    lanes = sorted(letters)
    numbers = sorted({number for _, number in groups})
    cells = [
        Cell(lanes.index(lane), numbers.index(number), tuple(group), _around(group))
        for (lane, number), group in sorted(groups.items())
    ]
    return CellGrid(
        tuple(cells),
        tuple(letters[lane] for lane in lanes),
        tuple(str(number) for number in numbers),
    )


def grid_of_squares(squares: Squares) -> CellGrid:
    """Counts to the right as columns, counts going up as rows."""
    side = squares.side_m
    cells = [
        Cell(right, up, (), box(right * side, up * side, (right + 1) * side, (up + 1) * side))
        for right in range(squares.rights)
        for up in range(squares.ups)
    ]
    return CellGrid(
        tuple(cells),
        tuple(str(right + 1) for right in range(squares.rights)),
        tuple(str(up + 1) for up in range(squares.ups)),
    )


def _around(panels: list[Panel]) -> Polygon:
    if len(panels) == 1:
        return panels[0].polygon
    bounds = [panel.polygon.bounds for panel in panels]
    return box(
        min(b[0] for b in bounds),
        min(b[1] for b in bounds),
        max(b[2] for b in bounds),
        max(b[3] for b in bounds),
    )


@dataclass(frozen=True)
class CellFrame:
    """Part of a grid on the paper; a `Frame` of the drawing package.

    columns, rows: first and last index shown. corner: upper left of the cells. cell_mm: width
    and height of one.
    """

    grid: CellGrid
    columns: tuple[int, int]
    rows: tuple[int, int]
    corner: Point
    cell_mm: tuple[float, float]
    turned: bool = False

    @property
    def counts(self) -> tuple[int, int]:
        """Cells across the paper and down it."""
        columns = self.columns[1] - self.columns[0] + 1
        rows = self.rows[1] - self.rows[0] + 1
        return (rows, columns) if self.turned else (columns, rows)

    @property
    def box(self) -> Box:
        across, down = self.counts
        right = self.corner[0] + across * self.cell_mm[0]
        return (*self.corner, right, self.corner[1] + down * self.cell_mm[1])

    @cached_property
    def shown(self) -> tuple[Cell, ...]:
        """The cells of this part."""
        return tuple(cell for cell in self.grid.cells if self.shows(cell))

    def shows(self, cell: Cell) -> bool:
        """Say whether a cell lies in this part."""
        inside = self.columns[0] <= cell.column <= self.columns[1]
        return inside and self.rows[0] <= cell.row <= self.rows[1]

    def put(self, column: float, row: float) -> Point:
        """Where a place of the grid, in columns and rows from its home corner, comes to lie."""
        wide, tall = self.cell_mm
        if self.turned:
            across, down = row - self.rows[0], column - self.columns[0]
        else:
            across, down = column - self.columns[0], self.rows[1] + 1 - row
        return (self.corner[0] + across * wide, self.corner[1] + down * tall)

    def at(self, point: Point) -> Point | None:
        """In the cell nearest to the point; a point beside the plan stands beside its cell.

        None where that cell is on another part, or the point is more than a cell away.
        """
        there = ShapelyPoint(point)
        cell = min(self.grid.cells, key=lambda c: (c.outline.distance(there), c.column, c.row))
        right, up = cell.share(point)
        if not self.shows(cell) or not (-1 <= right <= 2 and -1 <= up <= 2):
            return None
        return self.put(cell.column + right, cell.row + up)

    def ring(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        return tuple(
            tuple(self.inside(cell, corner) for corner in list(part.exterior.coords)[:-1])
            for cell, part in self._pieces(Polygon(points))
            if isinstance(part, Polygon)
        )

    def line(self, points: tuple[Point, ...]) -> tuple[tuple[Point, ...], ...]:
        return tuple(
            tuple(self.inside(cell, corner) for corner in part.coords)
            for cell, part in self._pieces(LineString(points))
            if isinstance(part, LineString)
        )

    def inside(self, cell: Cell, point: Point) -> Point:
        """Where a point of the plan comes to lie, taken as a point of that cell."""
        right, up = cell.share(point)
        return self.put(cell.column + right, cell.row + up)

    def _pieces(self, shape: BaseGeometry) -> list[tuple[Cell, BaseGeometry]]:
        pieces = []
        for cell in self.shown:
            cut = shape.intersection(cell.outline)
            pieces += [(cell, part) for part in getattr(cut, "geoms", [cut]) if not part.is_empty]
        return pieces
