"""Where a defect lies: a place as crews write it -> outline, panel and the concrete there."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from registry.defects import Offer, Sighted, offers
from registry.gathering.layouts import current_plan, layout_of
from registry.gathering.placing import row_at
from registry.models import Defect, Panel, Pavement, Section
from registry.plan import (
    Extent,
    JointPlace,
    PanelLine,
    PanelPlace,
    PanelRunPlace,
    Place,
    PlaceError,
    PlanShape,
    ShapeKind,
    SquarePlace,
    StationPlace,
    read_place,
    to_plan,
    write_place,
)
from registry.plan.layout import Layout
from registry.units import System

DRAWN = {ShapeKind.POINT: "spot", ShapeKind.LINE: "line", ShapeKind.AREA: "area"}


@dataclass(frozen=True)
class DefectPlace:
    """Where a defect lies; `fields` are the columns of its row that follow.

    panels_text     the panels as they were named on that day
    is_provisional  the datum is lost, or there is no plan to place it on
    """

    place: str
    outline: tuple[tuple[float, float], ...]
    outline_kind: str
    panel: Panel | None
    section: Section | None
    panels_text: str
    concrete_placed_on: date | None
    is_provisional: bool

    @property
    def fields(self) -> dict[str, Any]:
        """Return the columns of a defect that its place fills."""
        return {
            "outline": [list(point) for point in self.outline],
            "outline_kind": self.outline_kind,
            "panel": self.panel,
            "section": self.section,
            "panels_text": self.panels_text,
            "concrete_placed_on": self.concrete_placed_on,
            "is_provisional": self.is_provisional,
        }


def find_defect(pavement: Pavement, text: str, *, system: System, on: date) -> DefectPlace:
    """Read the place of a defect, in `system`, on the plan as it was on a day.

    It is written back in the system of the pavement's sheets, whatever it was typed in.
    Without a plan the words stay as written and the place is provisional. Raises PlaceError in
    the writer's words where there is a plan and the place is not on it.
    """
    layout = layout_of(pavement, system=system)
    if layout is None:
        return DefectPlace(text.strip(), (), "", None, None, "", _poured(pavement, []), True)
    place = read_place(text, system)
    shape = to_plan(place, layout, on)
    if len(shape.rings) > 1:
        raise PlaceError("This lies in several pieces apart: note each piece by itself.")
    outline = shape.points if _is_measured(place) else ()
    panels = _rows_of(pavement, place, shape, layout, on)
    plan = current_plan(pavement)
    return DefectPlace(
        place=write_place(place, System(pavement.sheet_system)),
        outline=outline,
        outline_kind=DRAWN[shape.kind] if outline else "",
        panel=panels[0] if panels else None,
        section=panels[0].section if panels else None,
        panels_text=_named(panels),
        concrete_placed_on=_poured(pavement, panels),
        is_provisional=plan is not None and plan.datum_lost_on is not None,
    )


def _is_measured(place: Place) -> bool:
    """Say whether the place tells where, not only in which panel or square."""
    if isinstance(place, PanelPlace):
        return place.extent != Extent.SOMEWHERE
    return True


def _rows_of(
    pavement: Pavement, place: Place, shape: PlanShape, layout: Layout, on: date
) -> list[Panel]:
    """Return the panels named, the first one named first; on a path that of its middle, if any."""
    if isinstance(place, StationPlace | SquarePlace):
        row = row_at(pavement, *shape.centre, on=on)
        return [row] if row is not None else []
    plan = current_plan(pavement)
    there = pavement.panels.standing().existing_on(on)
    there = there.on_plan(plan) if plan is not None else there
    rows = {row.name: row for row in there.select_related("section", "cut_from").order_by("pk")}
    return [rows[name] for name in _names(place, layout, on) if name in rows]


def _names(place: Place, layout: Layout, on: date) -> list[str]:
    match place:
        case PanelPlace() | PanelLine():
            return [layout.panel_named(place.panel, on).name]
        case JointPlace():
            return [layout.panel_named(n, on).name for n in (place.first, place.second)]
        case PanelRunPlace():
            lanes = (place.first.lane, place.last.lane)
            numbers = (place.first.number, place.last.number)
            return [
                panel.name
                for panel in layout.panels_on(on)
                if lanes[0] <= panel.panel_name.lane <= lanes[1]
                and numbers[0] <= panel.panel_name.number <= numbers[1]
            ]
    return []


def _named(panels: Iterable[Panel]) -> str:
    text = ", ".join(panel.name for panel in panels)
    return text if len(text) <= 120 else f"{text[:110].rpartition(',')[0]} and more"


def _poured(pavement: Pavement, panels: list[Panel]) -> date | None:
    """Return the one day on which the concrete there was placed, None where there are several.

    Of a joint it is the day of the panel that is named first: its offsets count from there.
    """
    days = {panel.placed_on or pavement.placed_on for panel in panels[:1]}
    if len(panels) > 2:
        days = {panel.placed_on or pavement.placed_on for panel in panels}
    if not panels:
        replaced = pavement.panels.standing().filter(replaces__isnull=False).exists()
        days = set() if replaced else {pavement.placed_on}
    return days.pop() if len(days) == 1 else None


def sighted(row: Defect) -> Sighted:
    """Return a defect as it lies on the plan, for the question whether two are the same.

    Both parts of a panel that was cut are one pour. Its panel is fetched with it.
    """
    panel = row.panel
    return Sighted(
        ref=row.pk or 0,
        kind=row.kind,
        concrete_placed_on=row.concrete_placed_on,
        concrete=None if panel is None else panel.cut_from_id or panel.pk,
        outline=tuple((float(x), float(y)) for x, y in row.outline),
        how=row.placed_by,
        is_area=row.outline_kind == "area",
        state=row.state,
    )


def put_in_place(row: Defect, *, system: System, on: date) -> None:
    """Fill the columns of an unsaved defect that follow from the place written in it.

    A section that was chosen stays where no panel tells it. Raises PlaceError.
    """
    written = row.place
    found = find_defect(row.pavement, written, system=system, on=on)
    chosen = row.section
    for name, value in found.fields.items():
        setattr(row, name, value)
    row.section = found.section or chosen
    row.place, row.first_seen_on = found.place, on
    row.as_written = {**row.as_written, "place": written}


def known_like(row: Defect, known: Iterable[Defect]) -> list[tuple[Offer, Defect]]:
    """Return the known defects that an unsaved one may be, with what is offered of each.

    Their panels are fetched with them. What is part of another is looked at there.
    """
    rows = {old.pk: old for old in known if old.state != "part_of"}
    found = offers(sighted(row), [sighted(old) for old in rows.values()])
    return [(offer, rows[int(offer.ref)]) for offer in found]
