"""A pavement's plan as a picture for page and paper (the plan block of the inspection sheet)."""

import math
from dataclasses import replace
from datetime import date

from registry.drawing.flow import flow
from registry.drawing.frames import Frame, ScaleFrame, StripFrame, fitted, strip
from registry.drawing.known_marks import defect_items
from registry.drawing.labels import Box, Labels
from registry.drawing.lettering import text_width_mm
from registry.drawing.no_plan import no_plan
from registry.drawing.photo_marks import photo_items
from registry.drawing.plan_caption import caption, described, head_line, title_of
from registry.drawing.plan_ground import (
    letter_items,
    outline_items,
    panel_items,
    part_names,
    path_items,
    square_items,
)
from registry.drawing.plan_marks import (
    DefectMark,
    PhotoMark,
    PlanContent,
    SpotMark,
    StateArea,
    SweptArea,
)
from registry.drawing.plan_things import (
    datum_items,
    feature_items,
    shown_at,
    spot_items,
    state_items,
    swept_items,
)
from registry.drawing.primitives import (
    Area,
    Drawing,
    DrawingError,
    Item,
    Line,
    Mark,
    Point,
    Symbol,
    Text,
    Weight,
)
from registry.plan import FeatureKind, Layout, Panel
from registry.plan.lengths import METRES_PER_FOOT, unit_name
from registry.units import System

_SIDE_MM, _END_MM = 7.5, 6.5  # room for numbers at the sides, letters at the ends
_ARROWS_MM = 16.0  # more of it where run-on comes in from outside
_ROW_GAP_MM = 11.0
_SIDEWAYS = ("left", "right")
_MOST_MM_PER_M = 40.0
_MARK_MM = 3.6


def plan_picture(
    layout: Layout | None,
    *,
    on: date,
    size_mm: tuple[float, float],
    system: System,
    spots: tuple[SpotMark, ...] = (),
    states: tuple[StateArea, ...] = (),
    known_defects: tuple[DefectMark, ...] = (),
    panels: tuple[Panel, ...] | None = None,
    part: str = "",
    every_number: bool = True,
    swept: tuple[SweptArea, ...] = (),
    is_small: bool = False,
    is_trimmed: bool = False,
    photos: tuple[PhotoMark, ...] = (),
) -> Drawing:
    """The plan as it was on a day, fitted into `size_mm` (width, height).

    layout: None draws what to do first. system: of the words (scale, ties).
    panels: only these are shown, with `part` saying which ("lanes A to K"); None for all of
    the day. swept: hatched as to sweep. is_small: for a corner of a sheet, without drains,
    run-on, scale and datum in words. is_trimmed: no higher than it needs, for a page.
    every_number: False on a page that lists the defects, see `defect_items`. Raises DrawingError
    when there is no room, or nothing of the plan on that day.
    """
    if layout is None:
        return no_plan(size_mm)
    shown = layout.panels_on(on) if panels is None else panels
    content = PlanContent(
        layout, shown, on, spots, states, known_defects, system, part, swept, is_small, photos
    )
    return _picture(content, size_mm, every_number=every_number, is_trimmed=is_trimmed)[0]


def ground_picture(
    layout: Layout, *, on: date, size_mm: tuple[float, float], system: System
) -> tuple[Drawing, Frame]:
    """The bare plan of a day, with the frame by which a point of it lies on the picture.

    Raises DrawingError as `plan_picture` does.
    """
    content = PlanContent(layout, layout.panels_on(on), on, (), (), (), system)
    return _picture(content, size_mm, is_trimmed=True)


def _picture(
    content: PlanContent,
    size_mm: tuple[float, float],
    *,
    every_number: bool = True,
    is_trimmed: bool = False,
) -> tuple[Drawing, Frame]:
    width, height = size_mm
    head = head_line(content, width)
    foot_mm = flow(caption(content), 0.0, 0.0, width).height_mm
    bar_mm = 0.0 if content.is_small else 5.5
    room = (0.0, head.height_mm, width, height - foot_mm - bar_mm)
    frame = _frame(content, room)
    if is_trimmed:
        frame, spare = _moved_up(frame, _inner(content, room, _is_turned(frame)))
        height -= spare
    labels = Labels((0.0, head.height_mm, width, room[3] - (size_mm[1] - height)))
    drawn = _drawn(content, frame, labels, every_number=every_number)
    items: list[Item] = [*_arrow(frame), *head.items, *drawn]
    if not content.is_small:
        items.extend(_scale_bar(frame, (1.0, height - foot_mm - 1.6), content.system))
    items.extend(flow(caption(content), 0.0, height - foot_mm, width).items)
    drawing = Drawing(width, height, tuple(items), title_of(content), described(content))
    return drawing, frame


def _arrow(frame: Frame) -> tuple[Item, ...]:
    """Up on the paper, or to the right where up runs to the right."""
    return (Mark((2.8, 2.6), Symbol.ARROW, 4.6, turn_deg=90 if _is_turned(frame) else 0),)


def _is_turned(frame: Frame) -> bool:
    return isinstance(frame, StripFrame) or (isinstance(frame, ScaleFrame) and frame.turned)


def _moved_up(frame: Frame, inner: Box) -> tuple[Frame, float]:
    """The frame at the upper edge of the room it was fitted into, and the mm left free by it."""
    above, below = max(0.0, frame.box[1] - inner[1]), max(0.0, inner[3] - frame.box[3])
    if not isinstance(frame, ScaleFrame | StripFrame):
        return frame, 0.0
    corner = (frame.corner[0], frame.corner[1] - above)
    return replace(frame, corner=corner), above + below


def _frame(content: PlanContent, room: Box) -> Frame:
    layout = content.layout
    if not content.panels and layout.baseline is not None:
        width = layout.baseline.width_m
        if width is None:
            width = max(layout.reach[2] - layout.reach[0], 1.0)
        inner = (room[0] + 7, room[1] + 6, room[2] - 7, room[3] - 2)
        if inner[3] - inner[1] < 8:
            raise DrawingError("There is no room on the paper for this plan.")
        return strip(layout.baseline, width, inner, gap_mm=_ROW_GAP_MM)
    if not content.panels and layout.squares is None:
        raise DrawingError(f"Nothing of the plan existed on {content.on.isoformat()}.")
    extent = _extent(content)
    upright, turned = (
        fitted(extent, _inner(content, room, way), turned=way) for way in (False, True)
    )
    best = turned if turned.mm_per_m > 1.15 * upright.mm_per_m else upright
    if content.part:
        best = replace(best, beyond_mm=0.0)
    if best.mm_per_m <= _MOST_MM_PER_M:
        return best
    middle = ((best.box[0] + best.box[2]) / 2, (best.box[1] + best.box[3]) / 2)
    wide, tall = (side / best.mm_per_m * _MOST_MM_PER_M for side in best.size_mm)
    corner = (middle[0] - wide / 2, middle[1] - tall / 2)
    return replace(best, corner=corner, mm_per_m=_MOST_MM_PER_M)


def _extent(content: PlanContent) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of what is shown, plan metres."""
    if not content.panels:
        return content.layout.reach
    points: list[Point] = [
        corner for panel in content.panels for corner in panel.polygon.exterior.coords
    ]
    if not content.part:
        points.extend(content.layout.outline)
    rights, ups = [right for right, _ in points], [up for _, up in points]
    return (min(rights), min(ups), max(rights), max(ups))


def _inner(content: PlanContent, room: Box, turned: bool) -> Box:
    """The room less what letters, numbers and arrows need at each side of the paper."""
    sides = {"left": _SIDE_MM, "right": _SIDE_MM, "top": _END_MM, "bottom": _END_MM}
    if turned:
        sides = {"left": _END_MM, "right": _END_MM, "top": _SIDE_MM, "bottom": _SIDE_MM}
    left, bottom, right, top = _extent(content)
    at_paper = {
        "left": "top" if turned else "left",
        "right": "bottom" if turned else "right",
        "low": "left" if turned else "bottom",
        "high": "right" if turned else "top",
    }
    for feature in () if content.is_small else content.layout.features_on(content.on):
        if feature.kind != FeatureKind.RUN_ON:
            continue
        start = feature.points[-2]
        for side, outside in (
            ("left", start[0] < left),
            ("right", start[0] > right),
            ("low", start[1] < bottom),
            ("high", start[1] > top),
        ):
            if outside:
                paper = at_paper[side]
                wide = text_width_mm(f"run-on, {feature.name}") if paper in _SIDEWAYS else 0.0
                most = 0.3 * (room[2] - room[0])
                sides[paper] = max(sides[paper], _ARROWS_MM + min(wide, most))
    return (
        room[0] + sides["left"],
        room[1] + sides["top"],
        room[2] - sides["right"],
        room[3] - sides["bottom"],
    )


def _drawn(content: PlanContent, frame: Frame, labels: Labels, *, every_number: bool) -> list[Item]:
    """Ground, then what lies on it; words last, so that nothing runs through them."""
    under: list[Item] = []
    letters: list[Text] = []
    if isinstance(frame, StripFrame):
        under.extend(path_items(frame, content.layout))
    elif isinstance(frame, ScaleFrame):
        if content.panels:
            under.extend(panel_items(content.panels, content.layout, frame))
            letters = letter_items(content.panels, frame)
        else:
            under.extend(square_items(content.layout, frame))
        if not content.part:
            under.extend(outline_items(content.layout, frame))
    for letter in letters:
        labels.keep_off((letter.at[0], letter.at[1] - 1.2), 4.0)
    datum = datum_items(frame, labels)
    features: list[Item] = []
    if not content.is_small:
        aside = labels.stepping_aside(_marks(content, frame), _MARK_MM)
        features = feature_items(content.layout, content.on, frame, aside)
        labels.take_over(aside)
    defects = defect_items(content.defects, frame, labels, every_number=every_number)
    spots = spot_items(content.spots, frame, labels)
    photos = photo_items(content.photos, frame, labels)
    parts = part_names(content.panels, frame, labels) if isinstance(frame, ScaleFrame) else []
    states = state_items(content.states, frame, labels)
    tints = [item for item in states if not isinstance(item, Area | Text)]
    words = [item for item in states if isinstance(item, Area | Text)]
    sweep = swept_items(content.swept, frame)
    ground = [*sweep, *tints, *under, *letters, *parts]
    return [*ground, *features, *datum, *defects, *photos, *spots, *words]


def _marks(content: PlanContent, frame: Frame) -> list[Point]:
    """Where spots and defects stand: names of wells and drains step aside for them."""
    places = (*(s.at for s in content.spots), *(d.shape.centre for d in content.defects))
    return [at for place in places if (at := shown_at(frame, place)) is not None]


def _scale_bar(frame: Frame, left: Point, system: System) -> tuple[Item, ...]:
    """A bar of a round length, about a fifth of the picture."""
    per_m = frame.mm_per_m if isinstance(frame, ScaleFrame | StripFrame) else 1.0
    unit = METRES_PER_FOOT if system == System.INCH_POUND else 1.0
    wanted = 24.0 / (per_m * unit)
    power = 10 ** math.floor(math.log10(wanted))
    long = max(step * power for step in (1, 2, 5, 10) if step * power <= wanted)
    end = (left[0] + long * unit * per_m, left[1])
    ticks = [Line((x, left[1] - 1.0), (x, left[1] + 1.0)) for x in (left[0], end[0])]
    words = f"{long:g} {unit_name(system)}"
    if isinstance(frame, StripFrame) and abs(frame.band_mm / frame.width_m / per_m - 1) > 0.02:
        words += " along; width not to scale"
    return (
        Line(left, end, weight=Weight.THICK),
        *ticks,
        Text((end[0] + 2.0, left[1] + 1.1), words),
    )
