"""Every place by station: what a station covers, and the station of anything on the plan."""

from datetime import date

import shapely
from shapely import LineString, Polygon
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from registry.plan.faults import PlaceError
from registry.plan.layout import Layout
from registry.plan.lengths import with_unit
from registry.plan.panels import Panel
from registry.plan.places import PanelLine, PanelPlace, Span, StationPlace, at
from registry.plan.points import TOUCH_M, Point
from registry.plan.shapes import PlanShape, ShapeKind
from registry.plan.stations import Baseline
from registry.plan.writing import write_place, write_station

_SLACK_M = 0.001
_CRUMB_M2 = 1e-5  # ten square millimetres: left by floating point at joints, not by a person


def station_shape(place: StationPlace, layout: Layout) -> PlanShape:
    """A station place as point, line or area. Raises PlaceError off the path or its width."""
    line = layout.any_baseline
    if place.station.stop_m > line.length_m + _SLACK_M:
        asked = write_station(place.station.stop_m, layout.system)
        end = write_station(line.length_m, layout.system)
        raise PlaceError(f"{asked} is past the end, which is at {end}.")
    offset = place.offset or _whole_width(line)
    if line.width_m is not None:
        _check_width(line, offset, place, layout)
    start, stop = (min(end, line.length_m) for end in (place.station.start_m, place.station.stop_m))
    if place.line_to_m is not None:
        return PlanShape(_slanted(line, start, stop, offset.start_m, place.line_to_m))
    if start == stop:
        ends = [line.to_plan(start, offset.start_m), line.to_plan(start, offset.stop_m)]
        return PlanShape(ShapelyPoint(ends[0]) if offset.is_point else LineString(ends))
    first = _along(line, start, stop, offset.start_m)
    if offset.is_point:
        return PlanShape(LineString(first))
    return PlanShape(Polygon([*first, *reversed(_along(line, start, stop, offset.stop_m))]))


def _whole_width(line: Baseline) -> Span:
    if line.width_m is None:
        raise PlaceError("The width is not on the plan; write how far L or R as well.")
    return Span(-line.center_right_m, line.width_m - line.center_right_m)


def _check_width(line: Baseline, offset: Span, place: StationPlace, layout: Layout) -> None:
    whole = _whole_width(line)
    ends = (offset.start_m, offset.stop_m if place.line_to_m is None else place.line_to_m)
    if min(ends) < whole.start_m - _SLACK_M or max(ends) > whole.stop_m + _SLACK_M:
        wide = with_unit(whole.stop_m - whole.start_m, layout.system)
        counted = "center" if line.center_right_m else "left edge"
        written = write_place(place, layout.system)
        raise PlaceError(
            f"{written} lies beside the path, which is {wide} wide; offsets count from the "
            f"{counted}."
        )


def _steps(line: Baseline, start: float, stop: float) -> list[float]:
    """Stations at which an offset line may bend."""
    return [start, *(mark for mark in line.bends if start < mark < stop), stop]


def _along(line: Baseline, start: float, stop: float, offset: float) -> list[Point]:
    return [line.to_plan(station, offset) for station in _steps(line, start, stop)]


def _slanted(
    line: Baseline, start: float, stop: float, offset: float, offset_to: float
) -> LineString:
    if start == stop:
        return LineString([line.to_plan(start, offset), line.to_plan(start, offset_to)])
    slope = (offset_to - offset) / (stop - start)
    return LineString(
        [
            line.to_plan(station, offset + slope * (station - start))
            for station in _steps(line, start, stop)
        ]
    )


def station_at(right_m: float, up_m: float, layout: Layout) -> StationPlace:
    """Station and offset of a point of the plan. Raises PlaceError beside or beyond the path."""
    line = layout.any_baseline
    station, offset = line.to_station(right_m, up_m)
    place = StationPlace(at(max(station, 0.0)), at(offset))
    if line.width_m is not None:
        _check_width(line, at(offset), place, layout)
    return place


def as_station(shape: PlanShape, layout: Layout) -> StationPlace:
    """Form B of anything on the plan: every place in a panel has a station and an offset.

    A two-point line stays a line. An area, or a line with more points, becomes the stations
    and offsets it reaches between: exact for rectangles square to the baseline, else its box.
    """
    line = layout.any_baseline
    found = [line.to_station(*point) for point in shape.points]
    if shape.kind == ShapeKind.POINT:
        return StationPlace(at(found[0][0]), at(found[0][1]))
    if shape.kind == ShapeKind.LINE and len(found) == 2:
        (start, begin), (stop, end) = sorted(found)
        if begin == end:
            return StationPlace(Span(start, stop), at(begin))
        return StationPlace(Span(start, stop), at(begin), end)
    stations, offsets = zip(*found, strict=True)
    return StationPlace(Span(min(stations), max(stations)), Span(min(offsets), max(offsets)))


def as_panels(place: StationPlace, layout: Layout, on: date) -> tuple[PanelPlace | PanelLine, ...]:
    """Form A of a station place: one place for each panel it lies in, home side first.

    What lies in a joint is given to the home side. Raises PlaceError where part of it lies in
    no panel of that day.
    """
    rest = station_shape(place, layout).geometry
    pieces: list[PanelPlace | PanelLine] = []
    for panel in layout.panels_on(on):
        reach = panel.polygon.buffer(TOUCH_M, join_style="mitre")
        pieces.extend(_in_panel(part, panel) for part in _parts(rest, reach))
        rest = rest.difference(reach)
        if rest.is_empty:
            break
    if not pieces or not _is_crumb(rest):
        written = write_place(place, layout.system)
        raise PlaceError(f"{written} does not lie in panels only on {on.isoformat()}.")
    return tuple(pieces)


def _parts(whole: BaseGeometry, reach: Polygon) -> list[BaseGeometry]:
    """Parts of a geometry inside a panel, of its own kind: an area that only touches is none."""
    inside = whole.intersection(reach)
    parts = list(getattr(inside, "geoms", [inside]))
    kind = shapely.get_dimensions(whole)
    return [part for part in parts if shapely.get_dimensions(part) == kind and not _is_crumb(part)]


def _is_crumb(piece: BaseGeometry) -> bool:
    if piece.is_empty:
        return True
    kind = shapely.get_dimensions(piece)
    if kind == 2:
        return bool(piece.area < _CRUMB_M2)
    return bool(kind == 1 and piece.length < _SLACK_M)


def _in_panel(piece: BaseGeometry, panel: Panel) -> PanelPlace | PanelLine:
    own = [panel.to_panel(*point) for point in shapely.get_coordinates(piece)]
    rights = [min(max(right, 0.0), panel.width_m) for right, _ in own]
    ups = [min(max(up, 0.0), panel.length_m) for _, up in own]
    spans = (_tidy(min(rights), max(rights)), _tidy(min(ups), max(ups)))
    straight = any(span.is_point for span in spans)
    if shapely.get_dimensions(piece) == 1 and not straight:
        return PanelLine(panel.panel_name, tuple(zip(rights, ups, strict=True)))
    return PanelPlace(panel.panel_name, *spans)


def _tidy(start: float, stop: float) -> Span:
    """A span to the micrometre, so that a line along a joint is a line and not a sliver."""
    if stop - start <= 2 * TOUCH_M:
        return at((start + stop) / 2)
    return Span(start, stop)
