"""A place as a crew wrote it on a sheet -> where it lay on the plan that the sheet showed."""

from collections.abc import Iterable
from datetime import date

from registry.gathering.defect_place import DRAWN, DefectPlace, find_defect
from registry.gathering.layouts import current_plan
from registry.gathering.visit_panels import layout_of_sheet
from registry.models import Panel, Pavement, PrintedSheet
from registry.plan import (
    Extent,
    JointPlace,
    PanelLine,
    PanelPlace,
    PanelRunPlace,
    read_place,
    to_plan,
    write_place,
)
from registry.units import System


def read_sheet_place(
    text: str,
    *,
    sheet: PrintedSheet,
    pavement: Pavement,
    system: System,
    panels: Iterable[Panel],
    on: date,
) -> DefectPlace:
    """Read a place in the units of a sheet. Raises PlaceError in the writer's words.

    A sheet printed with the plan that is still in force is read the way a walk is. On an older
    plan the names are those of the sheet; panels: those it names, as they were on that day.
    """
    layout = layout_of_sheet(sheet, system)
    if layout is None or sheet.plan == current_plan(pavement):
        return find_defect(pavement, text, system=system, on=on)
    place = read_place(text, system)
    shape = to_plan(place, layout, on)
    names = _names(place)
    first = next((row for row in panels if names and row.name == names[0]), None)
    somewhere = isinstance(place, PanelPlace) and place.extent == Extent.SOMEWHERE
    poured = (first.placed_on if first is not None else None) or pavement.placed_on
    return DefectPlace(
        place=write_place(place, System(pavement.sheet_system)),
        outline=() if somewhere else shape.points,
        outline_kind="" if somewhere else DRAWN[shape.kind],
        panel=first,
        section=first.section if first is not None else None,
        panels_text=", ".join(names),
        concrete_placed_on=poured,
        is_provisional=sheet.plan is not None and sheet.plan.datum_lost_on is not None,
    )


def _names(place: object) -> list[str]:
    match place:
        case PanelPlace() | PanelLine():
            return [str(place.panel)]
        case JointPlace():
            return [str(place.first), str(place.second)]
        case PanelRunPlace():
            return [str(place.first), str(place.last)]
    return []
