"""From points tapped on the picture of a plan to the place in the words of the scheme.

What a finger tells is rounded to what a tape gives (0.1 ft or 1 cm), and stays inside its panel.
`static/js/placer_words.js` works out the same in the browser; a browser test holds them together.
"""

import itertools
import math
from collections.abc import Iterator, Sequence
from datetime import date
from enum import StrEnum

from shapely import Point as ShapelyPoint

from registry.plan.faults import PlaceError
from registry.plan.layout import Layout
from registry.plan.lengths import STEP, metres_from, written_from
from registry.plan.locate import SLACK_M, to_place
from registry.plan.panels import Panel
from registry.plan.places import (
    PanelLine,
    PanelPlace,
    Place,
    Span,
    SquarePlace,
    StationPlace,
    at,
)
from registry.plan.points import Point
from registry.units import System


class Drawn(StrEnum):
    SPOT = "spot"
    LINE = "line"
    AREA = "area"


def place_of_taps(points: Sequence[Point], drawn: Drawn, layout: Layout, on: date) -> Place:
    """The place of one spot, of a line along points, or of the box around an area's points.

    points: plan coordinates, metres. A line or area within one panel is told by the panel, one
    that crosses joints by stations and offsets: a line from its first point to its last, an area
    by what it reaches between. Raises PlaceError where nothing of the plan is, or where the
    points are nearer to each other than a tape tells apart.
    """
    if drawn == Drawn.SPOT:
        return _spot(points[-1], layout, on)
    panels = [layout.panel_at(*point, on) for point in points]
    panel = panels[0]
    if panel is None or any(other != panel for other in panels):
        for point in points:
            to_place(*point, layout, on)  # refuses what is on nothing of the plan
        return _by_stations(points, drawn, layout)
    inside = [_in_panel(panel, point, layout.system) for point in points]
    if drawn == Drawn.LINE:
        kept = [one for one, _ in itertools.groupby(inside)]
        if len(kept) < 2:
            raise PlaceError("Tap two places farther apart.")
        return PanelLine(panel.panel_name, tuple(kept))
    return PanelPlace(panel.panel_name, *_box(inside))


def _spot(point: Point, layout: Layout, on: date) -> Place:
    place, system = to_place(*point, layout, on), layout.system
    panel = layout.panel_at(*point, on)
    if panel is not None:
        right, up = _in_panel(panel, point, system)
        return PanelPlace(panel.panel_name, at(right), at(up))
    if isinstance(place, SquarePlace) and place.in_square and layout.squares:
        side = layout.squares.side_m
        right, up = (near(span.start_m, 0.0, side, system) for span in place.in_square)
        return SquarePlace(place.right, place.up, in_square=(at(right), at(up)))
    station, offset = _stationed(point, layout)
    return StationPlace(at(station), at(offset))


def _in_panel(panel: Panel, point: Point, system: System) -> Point:
    """Right and up from the home corner: the nearest that a tape tells and the panel holds."""
    right, up = (max(value, 0.0) for value in panel.to_panel(*point))
    for candidate in _pairs(right, up, system):
        inside = (
            candidate[0] <= panel.width_m + SLACK_M and candidate[1] <= panel.length_m + SLACK_M
        )
        spot = ShapelyPoint(panel.to_plan(*candidate))
        if inside and panel.polygon.distance(spot) <= SLACK_M:
            return candidate
    return _as_written(right, system), _as_written(up, system)


def _pairs(right: float, up: float, system: System) -> Iterator[Point]:
    rounds, floors, ceils = (
        [way(v, system) for v in (right, up)] for way in (_round, _floor, _ceil)
    )
    yield (rounds[0], rounds[1])
    yield from itertools.product((floors[0], ceils[0]), (floors[1], ceils[1]))


def near(value_m: float, least_m: float, most_m: float, system: System) -> float:
    """The length to a step of the tape that lies between two others; else as it can be written."""
    for way in (_round, _floor, _ceil):
        candidate = way(value_m, system)
        if least_m - SLACK_M <= candidate <= most_m + SLACK_M:
            return candidate
    return _as_written(value_m, system)


def _round(value_m: float, system: System) -> float:
    return metres_from(round(written_from(value_m, system) / STEP[system]) * STEP[system], system)


def _floor(value_m: float, system: System) -> float:
    steps = math.floor(written_from(value_m, system) / STEP[system])
    return metres_from(steps * STEP[system], system)


def _ceil(value_m: float, system: System) -> float:
    return metres_from(
        math.ceil(written_from(value_m, system) / STEP[system]) * STEP[system], system
    )


def _as_written(value_m: float, system: System) -> float:
    return metres_from(written_from(value_m, system), system)


def _stationed(point: Point, layout: Layout) -> Point:
    line = layout.any_baseline
    station, offset = line.to_station(*point)
    least, most = -math.inf, math.inf
    if line.width_m is not None:
        least, most = -line.center_right_m, line.width_m - line.center_right_m
    system = layout.system
    return near(max(station, 0.0), 0.0, line.length_m, system), near(offset, least, most, system)


def _by_stations(points: Sequence[Point], drawn: Drawn, layout: Layout) -> StationPlace:
    found = [_stationed(point, layout) for point in points]
    if drawn == Drawn.AREA:
        return StationPlace(*_box(found))
    (start, begin), (stop, end) = sorted((found[0], found[-1]))
    if (start, begin) == (stop, end):
        raise PlaceError("Tap two places farther apart.")
    return StationPlace(Span(start, stop), at(begin), end)


def _box(points: Sequence[Point]) -> tuple[Span, Span]:
    firsts, seconds = [point[0] for point in points], [point[1] for point in points]
    spans = (Span(min(firsts), max(firsts)), Span(min(seconds), max(seconds)))
    if any(span.is_point for span in spans):
        raise PlaceError("An area reaches both ways: tap two corners farther apart.")
    return spans
