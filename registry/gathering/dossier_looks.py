"""Looks at raveling as rows of a dossier: typed shares, and outlines and areas of defects.

The same looks as on the page of loads and panels: `gathering.outlined_shares`.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from registry.dossier import Book, Cell, blank, number, words
from registry.gathering.dossier_cells import cell, day
from registry.gathering.dossier_placing import Concrete
from registry.gathering.outlined_shares import OutlinedDay, outlined_days
from registry.models import RaveledShare
from registry.placing.outlined import Seen, Way, touching
from registry.placing.ways import WORDS
from registry.plan import Panel


def add_looks(book: Book, rows: Iterable[RaveledShare]) -> None:
    """Add raveled shares by panel and day, each with the way it was graded.

    A look before the concrete of a panel was placed, or after it was taken out, is of other
    concrete under the same name.
    """
    for row in rows:
        if not book.of("panels") or _lay_there(book, row.panel, row.looked_on.isoformat()):
            book.add(
                "looks",
                f"{row.panel} {row.looked_on}",
                {
                    "panel": words(row.panel),
                    "on": day(row.looked_on),
                    "share": cell(row, "share"),
                    "graded_by": words(row.graded_by),
                    "by": cell(row, "looked_by"),
                },
            )


def add_outlined(book: Book, concrete: Concrete, rows: Sequence[Sequence]) -> None:
    """Add what follows from the looks at raveling defects, with the outlines it rests on.

    rows  what the questions of `outlined_shares.raveling_rows` found
    """
    if not rows:
        return
    panels, new_on = concrete.panels, max(concrete.placed, default=date.max)
    for one in outlined_days(panels, new_on, rows, since=concrete.since):
        here = [panel for panel in panels if _lay_there(book, panel.name, one.on.isoformat())]
        named = {seen.ref: _add_outline(book, one.on, seen) for seen in one.seen}
        for way, shares in one.shares.by_way.items():
            for panel in (panel for panel in here if panel.name in shares):
                _add_look(book, one, way, panel, named)
        for name, why in one.shares.untold:
            if name in {panel.name for panel in here}:
                book.not_given[f"panel {name} raveled {one.on}, of defects"] = why


def _add_outline(book: Book, on: date, seen: Seen) -> str:
    row: dict[str, Cell] = {
        "defect": words(seen.ref),
        "on": day(on),
        "way": words(seen.way.value),
        "rings": Cell(_rings(seen.outline)) if seen.outline is not None else blank(),
        "panel": words(seen.panel) if seen.panel else blank(),
        "area": number(seen.area_m2, "m2"),
    }
    return book.add("outlines", f"{seen.ref}, {on}", row)


def _add_look(book: Book, one: OutlinedDay, way: Way, panel: Panel, named: dict[str, str]) -> None:
    of = [named[seen.ref] for seen in touching(one.seen, panel, way)]
    row = {
        "panel": words(panel.name),
        "on": day(one.on),
        "share": blank(),
        "graded_by": words(way.value),
        "of": Cell(of),
        "by": words("" if of else "walked on that day; no raveling known there"),
    }
    book.add("looks", f"{panel.name} {one.on}, {WORDS[way.value]}", row)


def _rings(outline: BaseGeometry) -> list[list[list[float]]]:
    """Every ring of an area; what an odd number of them lies around belongs to it."""
    parts = outline.geoms if isinstance(outline, MultiPolygon) else [outline]
    found = []
    for part in (part for part in parts if isinstance(part, Polygon)):
        for ring in (part.exterior, *part.interiors):
            found.append([[float(x), float(y)] for x, y in ring.coords[:-1]])
    return found


def _lay_there(book: Book, panel: str, on: str) -> bool:
    if panel not in book.of("panels"):
        return False
    placed, gone = (book.read("panels", panel, cell) for cell in ("placed_on", "gone_on"))
    return (placed is None or placed <= on) and (gone is None or on < gone)
