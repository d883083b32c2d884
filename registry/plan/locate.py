"""From a written place to the plan, and from a point on the plan to its place.

On a joint the panel on the home side has the point (see `Layout.panel_at`).
"""

from datetime import date

from shapely import LineString, Polygon, unary_union
from shapely import Point as ShapelyPoint

from registry.plan.faults import PlaceError
from registry.plan.joints import along_joint, joint_between
from registry.plan.layout import Layout
from registry.plan.lengths import unit_name, with_unit, write_length
from registry.plan.panels import Panel, PanelName
from registry.plan.places import (
    Extent,
    JointPlace,
    PanelLine,
    PanelPlace,
    PanelRunPlace,
    Place,
    Span,
    SquarePlace,
    StationPlace,
    at,
)
from registry.plan.points import Point
from registry.plan.shapes import PlanShape, shape_between
from registry.plan.stationing import station_at, station_shape
from registry.plan.writing import write_place

SLACK_M = 0.001  # a written length is cut off well below a millimetre


def to_plan(place: Place, layout: Layout, on: date) -> PlanShape:
    """Where a place lies on the plan as it was on a day. Raises PlaceError if it is not on it."""
    match place:
        case PanelPlace():
            return _panel_shape(place, layout.panel_named(place.panel, on), layout)
        case PanelLine():
            panel = layout.panel_named(place.panel, on)
            for right, up in place.points:
                _check_size(panel, at(right), at(up), layout)
            return PlanShape(LineString([panel.to_plan(*point) for point in place.points]))
        case JointPlace():
            panels = (layout.panel_named(place.first, on), layout.panel_named(place.second, on))
            joint = joint_between(*panels)
            return along_joint(joint, place, panels[0], layout.system)
        case PanelRunPlace():
            return _run_shape(place, layout, on)
        case StationPlace():
            return station_shape(place, layout)
        case SquarePlace():
            return _square_shape(place, layout)


def to_place(right_m: float, up_m: float, layout: Layout, on: date) -> Place:
    """The place of a point of the plan: in a panel, else in a square, else by station.

    right_m, up_m: plan coordinates in metres. Raises PlaceError outside the pavement.
    """
    panel = layout.panel_at(right_m, up_m, on)
    if panel is not None:
        right, up = panel.to_panel(right_m, up_m)
        return PanelPlace(panel.panel_name, at(max(right, 0.0)), at(max(up, 0.0)))
    if layout.outline and not Polygon(layout.outline).intersects(ShapelyPoint(right_m, up_m)):
        raise PlaceError("That spot lies outside the outline of the pavement.")
    if layout.squares is not None:
        square = layout.squares.square_at(right_m, up_m)
        if square is not None:
            home = layout.squares.home_of(*square)
            inside = (at(max(right_m - home[0], 0.0)), at(max(up_m - home[1], 0.0)))
            return SquarePlace(*square, in_square=inside)
    if layout.baseline is not None:
        return station_at(right_m, up_m, layout)
    raise PlaceError(f"There was nothing of the plan at that spot on {on.isoformat()}.")


def size_of(panel: Panel, layout: Layout) -> str:
    """ "12 ft right × 12 ft up", for messages and forms."""
    return (
        f"{with_unit(panel.width_m, layout.system)} right × "
        f"{with_unit(panel.length_m, layout.system)} up"
    )


def _check_size(panel: Panel, right: Span, up: Span, layout: Layout) -> None:
    for letter, span, side in (("R", right, panel.width_m), ("U", up, panel.length_m)):
        if span.stop_m > side + SLACK_M:
            reached = write_length(span.stop_m, layout.system, least_digits=0)
            raise PlaceError(
                f"{letter} {reached} {unit_name(layout.system)} lies outside {panel.name}, "
                f"which is {size_of(panel, layout)}."
            )


def _panel_shape(place: PanelPlace, panel: Panel, layout: Layout) -> PlanShape:
    if place.extent != Extent.MEASURED:
        return PlanShape(panel.polygon)
    right = place.right or Span(0.0, panel.width_m)
    up = place.up or Span(0.0, panel.length_m)
    _check_size(panel, right, up, layout)
    corners = (
        panel.to_plan(right.start_m, up.start_m),
        panel.to_plan(right.stop_m, up.start_m),
        panel.to_plan(right.stop_m, up.stop_m),
        panel.to_plan(right.start_m, up.stop_m),
    )
    shape = shape_between(corners)
    return shape if panel.corners is None else _inside_corners(shape, panel, place, layout)


def _inside_corners(shape: PlanShape, panel: Panel, place: PanelPlace, layout: Layout) -> PlanShape:
    """The part of a shape inside a panel that is no rectangle; all of it must not be outside."""
    if shape.geometry.distance(panel.polygon) > SLACK_M:
        raise PlaceError(
            f"{write_place(place, layout.system)} lies outside {panel.name}: the panel is not a "
            "full rectangle, and its corners leave that spot out."
        )
    if isinstance(shape.geometry, ShapelyPoint):
        return shape
    inside = shape.geometry.intersection(panel.polygon)
    wanted = type(shape.geometry)
    if inside.is_empty or not isinstance(inside, wanted):
        raise PlaceError(f"{write_place(place, layout.system)} only touches {panel.name}.")
    return PlanShape(inside)


def _run_shape(place: PanelRunPlace, layout: Layout, on: date) -> PlanShape:
    for name in (place.first, place.last):
        layout.panel_named(name, on)
    parts = []
    for panel in layout.panels_on(on):
        name = panel.panel_name
        lanes = place.first.lane <= name.lane <= place.last.lane
        if lanes and place.first.number <= name.number <= place.last.number:
            parts.append(_strip_of(place, panel, name, layout).geometry)
    return PlanShape(unary_union(parts))


def _strip_of(place: PanelRunPlace, panel: Panel, name: PanelName, layout: Layout) -> PlanShape:
    if place.right is None and place.up is None:
        return PlanShape(panel.polygon)
    for span in (place.right, place.up):
        if span is not None and span.is_point:
            raise PlaceError("A strip along a row of panels has a width: A1-A5, R 11.0-12.0.")
    return _panel_shape(PanelPlace(name, place.right, place.up), panel, layout)


def _square_shape(place: SquarePlace, layout: Layout) -> PlanShape:
    squares = layout.squares
    if squares is None:
        raise PlaceError("This plan has no squares; write a panel or a station.")
    home = squares.home_of(place.right, place.up)
    last = home
    if place.to_right is not None and place.to_up is not None:
        last = squares.home_of(place.to_right, place.to_up)
    right = Span(home[0], last[0] + squares.side_m)
    up = Span(home[1], last[1] + squares.side_m)
    if place.in_square is not None:
        inside_right, inside_up = place.in_square
        for letter, span in (("R", inside_right), ("U", inside_up)):
            if span.stop_m > squares.side_m + SLACK_M:
                side = with_unit(squares.side_m, layout.system)
                raise PlaceError(f"{letter} lies outside the square, which is {side} each way.")
        right = Span(home[0] + inside_right.start_m, home[0] + inside_right.stop_m)
        up = Span(home[1] + inside_up.start_m, home[1] + inside_up.stop_m)
    corners: tuple[Point, Point, Point, Point] = (
        (right.start_m, up.start_m),
        (right.stop_m, up.start_m),
        (right.stop_m, up.stop_m),
        (right.start_m, up.stop_m),
    )
    return shape_between(corners)
