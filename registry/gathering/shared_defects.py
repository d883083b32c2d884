"""Open defects of a pavement that is split -> the panels each lies on, and what is asked of it."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

from shapely import Polygon, box

from registry.gathering.layouts import layout_of
from registry.gathering.plan_defects import shape_of
from registry.models import Defect, Panel, Pavement
from registry.plan.faults import PlaceError, PlanError
from registry.plan.layout import Layout
from registry.plan.locate import to_plan
from registry.plan.reading import read_place
from registry.plan.shapes import PlanShape
from registry.plan.shared_out import panels_under, part_of
from registry.units import System


@dataclass(frozen=True)
class OpenDefect:
    """An open defect and the ids of the panels it lies on, none where nobody can tell."""

    row: Defect
    lies_on: frozenset[int]

    def part(self, shares: tuple[Collection[int], Collection[int]]) -> int | None:
        """Return the part it goes with, 0 or 1, by ids of panels; None where it is to be asked."""
        return part_of(self.lies_on, shares)

    @property
    def words(self) -> str:
        """Return it in a line: "defect 3, raveling, A2 R 5.0 U 7.5"."""
        row = self.row
        place = row.place or row.panels_text or (row.panel.name if row.panel else "no place known")
        return f"{row}, {row.get_kind_display()}, {place}"


def open_defects(pavement: Pavement, on: date) -> list[OpenDefect]:
    """Return the open defects by number, on the panels that are there on a day (four queries)."""
    there = list(pavement.panels.standing().existing_on(on))
    rows = pavement.defects.open().select_related("panel", "section").order_by("number")
    grounds = {panel.pk: polygon_of(panel) for panel in there}
    written = [row for row in rows if row.place and not row.outline and row.panel is None]
    layout = layout_to_read(pavement) if written else None
    system = System(pavement.sheet_system)
    return [OpenDefect(row, _panels_of(row, there, grounds, layout, system, on)) for row in rows]


def layout_to_read(pavement: Pavement) -> Layout | None:
    """Return the layout on which written places are found; None where it does not hold together."""
    try:
        return layout_of(pavement)
    except PlanError:  # panels that lie on each other: no written place can be read on them
        return None


def polygon_of(panel: Panel) -> Polygon:
    """Return where a panel lies on the plan, metres."""
    if len(panel.corners) > 2:
        return Polygon(panel.corners)
    right, up = panel.right_m, panel.up_m
    return box(right, up, right + panel.width_m, up + panel.length_m)


def _panels_of(
    row: Defect,
    there: Iterable[Panel],
    grounds: dict[int, Polygon],
    layout: Layout | None,
    system: System,
    on: date,
) -> frozenset[int]:
    if row.outline:
        return panels_under(shape_of(row.outline_kind, row.outline).geometry, grounds)
    if row.panel is not None:
        named = {name.strip() for name in row.panels_text.split(",")} | {row.panel.name}
        standing = frozenset(panel.pk for panel in there if panel.name in named)
        is_there = row.panel_id in grounds
        # A panel that was cut or replaced meanwhile: what lies at its place now.
        return standing if is_there else panels_under(polygon_of(row.panel), grounds)
    shape = shape_as_written(row.place, layout, system, on)
    return panels_under(shape.geometry, grounds) if shape is not None else frozenset()


def shape_as_written(
    place: str, layout: Layout | None, system: System, on: date
) -> PlanShape | None:
    """Return where a written place lies on a day; None where the plan does not tell."""
    if layout is None or not place:
        return None
    try:
        return to_plan(read_place(place, system), layout, on)
    except PlaceError:  # in words, or on a panel that is no more: a person is asked
        return None
