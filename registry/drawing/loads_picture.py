"""The loads laid over the panels of a plan, as one list of primitives for page and paper.

Readable without colour: limits of loads are thick, every second load is hatched, its number stands
in it; then words; colour comes last. Panels are thin with their raveled share; where a cover came
off is a hatched rectangle, the zone of plow and salt a dashed outline. It shows what was written
down and names no cause.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from registry.drawing.flow import Entry, flow
from registry.drawing.frames import ScaleFrame, fitted
from registry.drawing.hatches import Hatch, hatched
from registry.drawing.labels import Box, Labels
from registry.drawing.lettering import text_height_mm
from registry.drawing.plan_ground import letter_items
from registry.drawing.plan_things import datum_items
from registry.drawing.primitives import (
    Area,
    Drawing,
    DrawingError,
    Group,
    Item,
    Mark,
    Point,
    Role,
    Symbol,
    Weight,
)
from registry.placing.load_shares import LoadShares, Piece
from registry.plan import Panel

_SIDE_MM, _END_MM = 7.5, 6.5  # room for numbers at the sides, letters at the ends
NUMBER_PT = 11.0
_STEPS = (0.5, 0.3, 0.7, 0.2, 0.8)
_JOINED_M = 0.05  # a joint is no gap in what lies on both of its sides


@dataclass(frozen=True)
class BareMark:
    """Where a cover came off: panels, and in words how long: "bare 30 min"."""

    panels: tuple[str, ...]
    words: str


@dataclass(frozen=True)
class LoadsShown:
    """What one picture shows beside the panels.

    raveled  panel to its share in words, "35 %";  raveled_words  day and way of grading
    winter   panels in the zone of plow or salt
    toward   what lies in the direction of up
    """

    shares: LoadShares
    raveled: Mapping[str, str] = field(default_factory=dict)
    raveled_words: str = ""
    bare: tuple[BareMark, ...] = ()
    winter: Collection[str] = ()
    toward: str = ""


def loads_picture(
    shown: LoadsShown, panels: Sequence[Panel], size_mm: Point, *, is_trimmed: bool = False
) -> Drawing:
    """Draw the loads over the panels they were laid over, fitted into `size_mm`.

    is_trimmed: no higher than it needs, for a page. Raises DrawingError without a panel.
    """
    if not panels:
        raise DrawingError("There is no panel to draw loads over.")
    width, height = size_mm
    head = flow([Entry(f"UP, toward {shown.toward}" if shown.toward else "UP")], 6.8, 0.0, width)
    foot_mm = flow(_key(shown), 0.0, 0.0, width).height_mm
    room = (0.0, head.height_mm, width, height - foot_mm)
    frame = _frame(panels, room)
    if is_trimmed:
        spare = room[3] - frame.box[3] - (_SIDE_MM if frame.turned else _END_MM)
        height -= max(spare, 0.0)
    labels = Labels((0.0, head.height_mm, width, height - foot_mm))
    arrow = Mark((2.8, 2.6), Symbol.ARROW, 4.6, turn_deg=90 if frame.turned else 0)
    items: list[Item] = [arrow, *head.items, *_drawn(shown, panels, frame, labels)]
    items.extend(flow(_key(shown), 0.0, height - foot_mm, width).items)
    return Drawing(width, height, tuple(items), "Loads over the panels", _described(shown))


def _frame(panels: Sequence[Panel], room: Box) -> ScaleFrame:
    """The larger of up on the paper, and up to the right, its upper edge at the room's."""
    whole = unary_union([panel.polygon for panel in panels]).bounds
    extent = (whole[0], whole[1], whole[2], whole[3])

    def inner(side: float, end: float) -> Box:
        return (room[0] + side, room[1] + end, room[2] - side, room[3] - end)

    upright = fitted(extent, inner(_SIDE_MM, _END_MM), turned=False)
    turned = fitted(extent, inner(_END_MM, _SIDE_MM), turned=True)
    best = turned if turned.mm_per_m > 1.15 * upright.mm_per_m else upright
    top = room[1] + (_SIDE_MM if best.turned else _END_MM)
    return ScaleFrame(best.extent, (best.corner[0], top), best.mm_per_m, best.turned)


def _drawn(
    shown: LoadsShown, panels: Sequence[Panel], frame: ScaleFrame, labels: Labels
) -> list[Item]:
    """Hatches, then limits, then words on their own ground, so that nothing runs through them."""
    by_name = {panel.name: panel for panel in panels}
    letters = letter_items(tuple(panels), frame)
    for letter in letters:
        labels.keep_off((letter.at[0], letter.at[1] - 1.2), 4.0)
    bodies = _bodies(shown.shares)
    items: list[Item] = []
    for nth, load in enumerate(shown.shares.loads):
        if nth % 2:
            items += [hatched(ring, Hatch.LOAD, Role.PALE) for ring in _rings(bodies[load], frame)]
    for mark in shown.bare:
        items += [hatched(ring, Hatch.BARE) for ring in _rings(_union(mark.panels, by_name), frame)]
    for panel in panels:
        rings = frame.ring(tuple(panel.polygon.exterior.coords)[:-1])
        title = ", ".join(
            filter(None, (panel.name, shown.shares.words_of(panel.name), _share(shown, panel.name)))
        )
        items += [Group((Area(ring, None, Role.PALE),), title=title) for ring in rings]
    for load in shown.shares.loads:
        outline = (
            Area(ring, None, Role.WATER, Weight.THICK) for ring in _rings(bodies[load], frame)
        )
        items.append(Group(tuple(outline), title=f"load {load}"))
    zone = _union(tuple(shown.winter), by_name)
    items += [
        Area(_inset(ring), None, Role.SIGNAL, Weight.THICK, (2.4, 1.4))
        for ring in _rings(zone, frame)
    ]
    items += datum_items(frame, labels)
    return [*items, *letters, *_words(shown, by_name, frame, labels)]


def _words(
    shown: LoadsShown, panels: Mapping[str, Panel], frame: ScaleFrame, labels: Labels
) -> list[Item]:
    """Numbers of loads first, one in each of their lanes; then shares where there is room."""
    items: list[Item] = []
    lanes = _by_lane(shown.shares, panels)
    for _, pieces in lanes:
        for ring in _rings(_joined([piece.outline for piece in pieces]), frame):
            for end in _ends(ring, turned=frame.turned):
                labels.keep_off_box(end)
    for load, pieces in lanes:
        middle = frame.put(_middle(_joined([piece.outline for piece in pieces])))
        items += labels.beside(middle, load, size_pt=NUMBER_PT, bold=True, here_first=True)
    for name, words in shown.raveled.items():
        if name in panels:
            ring = frame.ring(tuple(panels[name].polygon.exterior.coords)[:-1])[0]
            items += _inside(ring, words, labels)
    return items


def _inside(ring: tuple[Point, ...], words: str, labels: Labels) -> tuple[Item, ...]:
    """Words in a panel where nothing lies under them; never in its neighbour."""
    left, top, right, bottom = _box(ring)
    half = text_height_mm() / 2 + 0.4
    for share in _STEPS:
        middle = top + share * (bottom - top)
        if top < middle - half and middle + half < bottom:
            room = (left, middle - half, right, middle + half)
            laid = labels.along(room, words, must=False)
            if laid:
                return laid
    return ()


def _ends(ring: tuple[Point, ...], *, turned: bool) -> tuple[Box, Box]:
    """The limits of a load across its lane, as places taken."""
    left, top, right, bottom = _box(ring)
    if turned:
        return (left - 0.3, top, left + 0.3, bottom), (right - 0.3, top, right + 0.3, bottom)
    return (left, top - 0.3, right, top + 0.3), (left, bottom - 0.3, right, bottom + 0.3)


def _box(ring: tuple[Point, ...]) -> Box:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return (min(xs), min(ys), max(xs), max(ys))


def _by_lane(
    shares: LoadShares, panels: Mapping[str, Panel]
) -> list[tuple[str, tuple[Piece, ...]]]:
    found: dict[tuple[str, str], list[Piece]] = {}
    for piece in shares.pieces:
        found.setdefault((piece.load, panels[piece.panel].letter), []).append(piece)
    return [(load, tuple(pieces)) for (load, _), pieces in found.items()]


def _bodies(shares: LoadShares) -> dict[str, BaseGeometry]:
    """Each load as one shape a lane: the joints inside it are no limits of it."""
    return {load: _joined([x.outline for x in shares.of_load(load)]) for load in shares.loads}


def _union(names: Sequence[str], panels: Mapping[str, Panel]) -> BaseGeometry:
    return _joined([panels[name].polygon for name in names if name in panels])


def _joined(shapes: Sequence[Polygon]) -> BaseGeometry:
    if not shapes:
        return Polygon()
    wide = [shape.buffer(_JOINED_M, join_style="mitre") for shape in shapes]
    return unary_union(wide).buffer(-_JOINED_M, join_style="mitre")


def _rings(shape: BaseGeometry, frame: ScaleFrame) -> list[tuple[Point, ...]]:
    parts = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]
    return [
        ring
        for part in parts
        if not part.is_empty
        for ring in frame.ring(tuple(part.exterior.coords)[:-1])
    ]


def _inset(ring: tuple[Point, ...]) -> tuple[Point, ...]:
    """A little inside, so that the zone does not lie on the limits of the loads."""
    small = Polygon(ring).buffer(-0.9, join_style="mitre")
    fits = isinstance(small, Polygon) and not small.is_empty
    return tuple((x, y) for x, y in small.exterior.coords[:-1]) if fits else ring


def _middle(shape: BaseGeometry) -> Point:
    at = shape.representative_point() if not isinstance(shape, Polygon) else shape.centroid
    return (float(at.x), float(at.y))


def _share(shown: LoadsShown, panel: str) -> str:
    share = shown.raveled.get(panel, "")
    return f"{share} raveled" if share else ""


def _key(shown: LoadsShown) -> list[Entry]:
    """Only what is on this picture."""
    words = "number: load; every second load is hatched"
    entries = [Entry(words, _sign(Hatch.LOAD, Role.WATER), 8.0)] if shown.shares.loads else []
    if shown.raveled:
        entries.append(Entry(f"%: raveled share of a panel, {shown.raveled_words}".rstrip(", ")))
    if shown.bare:
        told = "; ".join(f"{', '.join(mark.panels)} {mark.words}" for mark in shown.bare)
        entries.append(Entry(f"cover off: {told}", _sign(Hatch.BARE, None), 8.0))
    if shown.winter:
        entries.append(Entry("plow or salt zone", _sign(None, Role.SIGNAL, (2.4, 1.4)), 8.0))
    return entries


def _sign(hatch: Hatch | None, edge: Role | None, dash: tuple[float, ...] = ()):  # type: ignore[no-untyped-def]  # a sign drawn at a point
    def draw(at: Point) -> tuple[Item, ...]:
        x, y = at
        corners = ((x - 4, y - 1.7), (x + 4, y - 1.7), (x + 4, y + 1.7), (x - 4, y + 1.7))
        strokes = (hatched(corners, hatch),) if hatch else ()
        outline = (Area(corners, None, edge, Weight.THICK, dash),) if edge else ()
        return (*strokes, *outline)

    return draw


def _described(shown: LoadsShown) -> str:
    """What the picture says to those who do not see it."""
    said = [f"{len(shown.shares.loads)} loads over {len(shown.shares.areas_m2)} panels."]
    said += [f"{', '.join(mark.panels)}: {mark.words}." for mark in shown.bare]
    if shown.winter:
        said.append(f"Plow or salt zone: {', '.join(shown.winter)}.")
    said.append("The table below tells each panel.")
    return " ".join(said)
