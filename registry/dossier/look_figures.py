"""Looks at raveling: typed shares and what follows from the outlines of defects, by panel (N17).

Rows asked for: `panels` (outline, lane), `looks` (panel, on, share, graded_by, of) and `outlines`
(defect, on, way, rings, panel, area). A look has its share as somebody typed it, or in `of` the
rows of outlines that it is worked out from. Days and ways of grading are never mixed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import reduce

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from registry.dossier.record import Book, Figure, Input, decimals, printed
from registry.placing.outlined import outlined_share, written_share
from registry.placing.ways import WORDS, compared_of, order_of
from registry.plan import Panel, read_panel_name

OUTLINED, WRITTEN = "N17 raveled share of a panel", "N17 area written over the panel"


@dataclass(frozen=True)
class LookDay:
    """Shares of one day by one way of grading: panel to the name of its row."""

    on: str
    graded_by: str
    rows: Mapping[str, str]

    @property
    def words(self) -> str:
        """ "2023-10-03, outline by tape"."""
        return f"{self.on}, {WORDS.get(self.graded_by, 'way of grading not written down')}"


def look_days(book: Book) -> tuple[LookDay, ...]:
    """The looks, oldest day first, each way of grading by itself, as the page has them."""
    found: dict[tuple[str, str], dict[str, str]] = {}
    for name in book.of("looks"):
        on, way = book.read("looks", name, "on"), book.read("looks", name, "graded_by") or ""
        found.setdefault((on, way), {})[book.read("looks", name, "panel")] = name
    days = [LookDay(on, way, rows) for (on, way), rows in found.items()]
    return tuple(sorted(days, key=_order))


def _order(day: LookDay) -> tuple[date, int, int]:
    return order_of(date.fromisoformat(day.on), len(day.rows), day.graded_by)


def compared_day(book: Book) -> LookDay | None:
    """The look that is compared; the page of loads and panels chooses alike."""
    days = look_days(book)
    nth = compared_of([sum(book.has(raveled_name(x, day)) for x in book.of("loads"))
                       for day in days])  # fmt: skip
    return None if nth is None else days[nth]


def pairs_of(days: Sequence[LookDay]) -> list[tuple[LookDay, LookDay]]:
    """Each look with the next later one graded the same way."""
    found = []
    for before in days:
        later = (one for one in days if one.on > before.on and one.graded_by == before.graded_by)
        if (after := next(later, None)) is not None:
            found.append((before, after))
    return found


def raveled_name(load: str, day: LookDay) -> str:
    """Name of the figure of a load's raveled share on a day."""
    return f"load {load} raveled {day.on} {day.graded_by}".strip()


def panel_raveled_name(panel: str, on: str, way: str) -> str:
    """Name of the figure of a panel's raveled share where it is worked out from outlines."""
    return f"panel {panel} raveled {on} {way}".strip()


def share_of(book: Book, day: LookDay, panel: str) -> float | None:
    """Raveled share of a panel in a look, None where it has none."""
    if panel not in day.rows:
        return None
    typed: float | None = book.read("looks", day.rows[panel], "share")
    worked_out: float | None = book.value(_figure_of(day, panel))
    return worked_out if typed is None else typed


def take_share(book: Book, day: LookDay, panel: str) -> Input:
    """The same as an input: the cell of a typed share, the figure of one worked out."""
    if book.read("looks", day.rows[panel], "share") is not None:
        return book.take("looks", day.rows[panel], "share")
    return book.result(_figure_of(day, panel))


def _figure_of(day: LookDay, panel: str) -> str:
    return panel_raveled_name(panel, day.on, day.graded_by)


def panel_of(book: Book, name: str) -> Panel:
    """Return a panel as it is drawn."""
    parsed = read_panel_name(name)
    outline = [tuple(point) for point in book.read("panels", name, "outline")]
    left, low = min(p[0] for p in outline), min(p[1] for p in outline)
    width, length = max(p[0] for p in outline) - left, max(p[1] for p in outline) - low
    placed = book.read("panels", name, "placed_on")
    return Panel(
        parsed.letter, parsed.number, left, low, width, length, parsed.suffix,
        corners=tuple(outline), placed_on=date.fromisoformat(placed) if placed else None,
    )  # fmt: skip


def add_look_figures(book: Book) -> None:
    """Work out the raveled share of every panel whose looks are outlines and areas of defects."""
    for name in book.of("looks"):
        of = book.read("looks", name, "of")
        panel = book.read("looks", name, "panel")
        if of is None or panel not in book.of("panels"):
            continue
        way, on = book.read("looks", name, "graded_by"), book.read("looks", name, "on")
        book.give(panel_raveled_name(panel, on, way), _share(book, panel, on, way, of))


def _share(book: Book, panel: str, on: str, way: str, of: Sequence[str]) -> Figure:
    row = panel_of(book, panel)
    says = f"panel {panel}: raveled share on {on}, {WORDS[way]}"
    inputs: dict[str, Input | list[Input]] = {"panel": book.take("panels", panel, "outline")}
    if way == "panel_area" and of:
        inputs["area"] = book.take("outlines", of[0], "area", "m2")
        value, formula = written_share(book.read("outlines", of[0], "area", "m2"), row), WRITTEN
    else:
        inputs["outlines"] = [book.take("outlines", name, "rings") for name in of]
        outlines = [_geometry(book.read("outlines", name, "rings")) for name in of]
        value, formula = outlined_share(outlines, row), OUTLINED
    shown = f"{printed(value, 1, 100)} %"
    return Figure(says, formula, inputs, value, "", shown, decimals(1, 100))


def _geometry(rings: Sequence[Sequence[Sequence[float]]]) -> BaseGeometry:
    """What an odd number of rings lies around."""
    parts: list[BaseGeometry] = [Polygon(ring) for ring in rings]
    return reduce(shapely.symmetric_difference, parts)
