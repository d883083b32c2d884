"""What lies on a plan picture: datum, drains, wells, run-on, states, spots, known defects."""

import math
from datetime import date

from registry.drawing.frames import Frame, ScaleFrame
from registry.drawing.hatches import HATCH_OF_STATE, hatched
from registry.drawing.labels import Labels
from registry.drawing.plan_marks import SpotMark, StateArea, SweptArea
from registry.drawing.primitives import (
    Area,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Polyline,
    Role,
    Strokes,
    Symbol,
    Weight,
)
from registry.plan import FeatureKind, Layout

SYMBOL_OF_FEATURE = {
    FeatureKind.DRAIN: Symbol.DRAIN,
    FeatureKind.WELL: Symbol.WELL,
    FeatureKind.OVERFLOW: Symbol.OVERFLOW,
    FeatureKind.CLEANOUT: Symbol.CLEANOUT,
    FeatureKind.LANDMARK: Symbol.LANDMARK,
    FeatureKind.FIXED_POINT: Symbol.SPOT,
}
_ARROW_MM = 7.0
_PAST_NUMBERS_MM = 6.6
_REACH_MM = 4.0
NAMED_SPOTS = 100
_DUE = ("clean", "restore", "not_working")  # words that ask for something today


def shown_at(frame: Frame, point: Point, *, more_mm: float = 0.0) -> Point | None:
    """Where a point lies on the paper, a little outside the frame too; None if farther."""
    inside = frame.at(point)
    if inside is not None or not isinstance(frame, ScaleFrame):
        return inside
    x, y = frame.put(point)
    left, top, right, bottom = frame.box
    near_mm = frame.beyond_mm + more_mm if frame.beyond_mm else 0.0
    near = left - near_mm <= x <= right + near_mm and top - near_mm <= y <= bottom + near_mm
    return (x, y) if near else None


def datum_items(frame: Frame, labels: Labels) -> list[Item]:
    at = shown_at(frame, (0.0, 0.0))
    if at is None:
        return []
    labels.keep_off(at, 5.0)
    return [Mark(at, Symbol.DATUM, 4.2)]


def feature_items(layout: Layout, on: date, frame: Frame, labels: Labels) -> list[Item]:
    """Drains, wells and the like with their names; run-on as arrows; fixed points are spots."""
    items: list[Item] = []
    for feature in layout.features_on(on):
        if feature.kind == FeatureKind.RUN_ON:
            items.extend(_run_on(feature.points, feature.name, frame, labels))
            continue
        at = shown_at(frame, feature.points[0])
        if at is None or feature.kind == FeatureKind.FIXED_POINT:
            continue
        symbol = SYMBOL_OF_FEATURE[feature.kind]
        labels.keep_off(at, 3.4)
        items.append(Group((Mark(at, symbol, 3.2, Role.WATER),), title=feature.name))
        if feature.name:
            items.extend(labels.beside(at, feature.name))
    return items


def _run_on(points: tuple[Point, ...], name: str, frame: Frame, labels: Labels) -> list[Item]:
    """A thick arrow with its head where the water comes in, outside the numbers of the plan."""
    head = shown_at(frame, points[-1], more_mm=3.0)
    if head is None:
        return []
    tail = frame.put(points[-2]) if isinstance(frame, ScaleFrame) else frame.at(points[-2])
    way = (0.0, 1.0) if tail is None else (head[0] - tail[0], head[1] - tail[1])
    long = math.hypot(*way) or 1.0
    way = (way[0] / long, way[1] / long)
    back = _PAST_NUMBERS_MM if tail is None or not _inside(tail, frame) else 0.0
    tip = (head[0] - back * way[0], head[1] - back * way[1])
    end = (tip[0] - _ARROW_MM * way[0], tip[1] - _ARROW_MM * way[1])
    left = (tip[0] - 2.2 * way[0] + 1.3 * way[1], tip[1] - 2.2 * way[1] - 1.3 * way[0])
    right = (tip[0] - 2.2 * way[0] - 1.3 * way[1], tip[1] - 2.2 * way[1] + 1.3 * way[0])
    labels.keep_off(((tip[0] + end[0]) / 2, (tip[1] + end[1]) / 2), _ARROW_MM)
    arrow = (
        Line(end, tip, Role.WATER, Weight.THICK),
        Polyline((left, tip, right), Role.WATER, Weight.THICK),
    )
    words = f"run-on, {name}" if name else "run-on"
    return [Group(arrow, title=words), *labels.beside(end, words)]


def _inside(point: Point, frame: Frame) -> bool:
    left, top, right, bottom = frame.box
    return left < point[0] < right and top < point[1] < bottom


def swept_items(swept: tuple[SweptArea, ...], frame: Frame) -> list[Item]:
    """Hatches of what is to sweep, crossed where twice."""
    return [hatched(ring, area.hatch) for area in swept for ring in frame.ring(area.ring) if ring]


def state_items(states: tuple[StateArea, ...], frame: Frame, labels: Labels) -> list[Item]:
    """Condition of parts of the plan: tint and hatch, and the word where there is room inside.

    Beside its part a word would be read as the neighbour's; the key names every hatch.
    """
    items: list[Item] = []
    for state in states:
        rings = [part for ring in state.rings for part in frame.ring(ring)]
        if not rings:
            continue
        role = Role.SIGNAL if state.state in _DUE else Role.WATER
        hatch = HATCH_OF_STATE[state.state]
        drawn: list[Item] = []
        for ring in rings:
            drawn.append(Area(ring, role, None, faint=True))
            if hatch is not None:
                drawn.append(hatched(ring, hatch))
        items.append(Group(tuple(drawn), state.href, _named(state)))
        long = f"{state.where}: {state.word}" if state.where else state.word
        items.extend(labels.within(max(rings, key=_span), (long, state.word)))
    return items


def _named(state: StateArea) -> str:
    return state.title or (f"{state.where}: {state.word}" if state.where else state.word)


def _span(ring: tuple[Point, ...]) -> float:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (max(xs) - min(xs)) * (max(ys) - min(ys))


def spot_items(spots: tuple[SpotMark, ...], frame: Frame, labels: Labels) -> list[Item]:
    """Test spots as crosses with name and, where it fits, the value.

    Of more than NAMED_SPOTS the rest are plain crosses in one stroke, those without a value first:
    a name each would weigh 400 bytes and have no room.
    """
    shown = [(spot, at) for spot in spots if (at := shown_at(frame, spot.at)) is not None]
    shown.sort(key=lambda both: not both[0].value)
    named, plain = shown[:NAMED_SPOTS], shown[NAMED_SPOTS:]
    for _, at in named:
        labels.keep_off(at, 3.2)
    items: list[Item] = [_crosses([at for _, at in plain])] if plain else []
    for spot, at in named:
        ground = Area(_box(at, 1.7), Role.PAPER, None)
        words: tuple[Item, ...] = ()
        if spot.value:
            both = f"{spot.name} {spot.value}"
            words = labels.beside(at, both, bold=True, must=False, right_only=True)
        words = words or labels.beside(at, spot.name, bold=True)
        title = spot.title or " ".join(filter(None, (spot.name, spot.value)))
        mark = (ground, Mark(at, Symbol.SPOT, 3.0), *words)
        items.append(Group(mark, spot.href, title, at, _REACH_MM))
    return items


def _crosses(places: list[Point]) -> Group:
    lines = tuple(
        ((x - 1.2, y - 1.2 * way), (x + 1.2, y + 1.2 * way)) for x, y in places for way in (1, -1)
    )
    return Group((Strokes(lines, weight=Weight.THIN),), title=f"{len(places)} more test spots")


def _box(at: Point, half: float) -> tuple[Point, ...]:
    x, y = at
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
