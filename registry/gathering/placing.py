"""A place as crews write it -> where it lies on the plan of a pavement, and in which panel."""

from dataclasses import dataclass
from datetime import date

from registry.gathering.layouts import current_plan, layout_of
from registry.models import Panel, Pavement
from registry.plan.earth import to_lonlat
from registry.plan.faults import EarthError, PlaceError
from registry.plan.layout import Layout
from registry.plan.locate import size_of, to_plan
from registry.plan.places import Extent, PanelPlace, SquarePlace
from registry.plan.reading import read_place
from registry.plan.writing import write_place
from registry.units import System


@dataclass(frozen=True)
class FoundPlace:
    """Where a spot lies. Without a plan, or where only its panel is known, there is no point.

    place   as the plan's sheets print it
    panel   the panel of that day, None on a path, on pavers or without a plan
    """

    place: str
    right_m: float | None
    up_m: float | None
    panel: Panel | None


def find_spot(pavement: Pavement, text: str, *, system: System, on: date) -> FoundPlace:
    """Read the place of a spot, in `system`, on the plan as it was on a day.

    A panel or a square alone, D6 or g(3,5), is a spot somewhere in it, without a point. Raises
    PlaceError in the writer's words; the size of the panel stands in it.
    """
    place = read_place(text, system)
    written = write_place(place, system)
    layout = layout_of(pavement, system=system)
    if layout is None:
        return FoundPlace(written, None, None, None)
    shape = to_plan(place, layout, on)
    if isinstance(place, PanelPlace) and place.extent == Extent.SOMEWHERE:
        return FoundPlace(written, None, None, _row(pavement, str(place.panel), on))
    if isinstance(place, SquarePlace) and place.to_right is None and place.in_square is None:
        return FoundPlace(written, None, None, None)
    if len(shape.points) != 1 or shape.rings:
        raise PlaceError(_asks_point(place, layout, on))
    right_m, up_m = shape.points[0]
    return FoundPlace(written, right_m, up_m, row_at(pavement, right_m, up_m, on=on))


def _asks_point(place: object, layout: Layout, on: date) -> str:
    told = "A spot is one point: write one measure each way, such as 3.2 R and 8.5 U."
    if isinstance(place, PanelPlace):
        panel = layout.panel_named(place.panel, on)
        return f"{told} {panel.name} is {size_of(panel, layout)}."
    return told


def row_at(pavement: Pavement, right_m: float, up_m: float, *, on: date) -> Panel | None:
    """Return the panel that a point of the plan lies in on a day, or None."""
    layout = layout_of(pavement)
    panel = layout.panel_at(right_m, up_m, on) if layout is not None else None
    return None if panel is None else _row(pavement, panel.name, on)


def _row(pavement: Pavement, name: str, on: date) -> Panel | None:
    plan = current_plan(pavement)
    if plan is None:
        return None
    rows = pavement.panels.standing().on_plan(plan).existing_on(on).filter(name=name)
    found: Panel | None = rows.order_by("-exists_from_on", "-pk").first()
    return found


def no_position_of(layout: Layout | None) -> str:
    """Return why no place of a plan has a position on earth; nothing where they have one."""
    if layout is None:
        return ""
    try:
        to_lonlat(layout.datum, 0.0, 0.0)
    except EarthError as fault:
        return fault.message
    return ""


def lonlat_of(layout: Layout | None, right_m: float | None, up_m: float | None) -> str:
    """Return "longitude, latitude" of a point of the plan; why not, where there is none."""
    if layout is None or right_m is None or up_m is None:
        return "no point on a plan"
    try:
        lon, lat = to_lonlat(layout.datum, right_m, up_m)
    except EarthError as fault:
        return fault.message
    return f"{lon:.6f}, {lat:.6f}"
