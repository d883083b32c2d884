"""The plan block of the inspection sheet, 88 mm: plan, drawing key, what was not seen."""

from dataclasses import dataclass

from registry.drawing.key import key_items
from registry.drawing.plan_caption import caption
from registry.drawing.plan_marks import DefectMark, PlanContent, SpotMark
from registry.drawing.plan_pages import plan_pictures
from registry.drawing.primitives import Drawing, Mark, Symbol
from registry.plan import FeatureKind
from registry.sheets.blank_plan import blank_plan
from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.cell_pictures import LEAST_CELL_MM, cell_pictures, grid_of
from registry.sheets.contents import InspectionContent
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, broken
from registry.sheets.rows import MARGIN_MM, ROW_MM

PLAN_MM = 88.0
_PICTURE_MM = (131.2, 86.6)  # 20 cells of 6 mm and their numbers
_SQUARES_ROOM_MM = (114.0, 54.0)  # less letters, numbers, caption and scale
_INSET_MM = 1.3
_CAPTION_LINES = 2
_KEY_X_MM = 133.7
_KEY_MM = BOX_WIDTH_MM - _KEY_X_MM - 1.0


@dataclass(frozen=True)
class PlanPart:
    """One page's picture. Words stand beside it where it has none itself: cells have none.

    up: what is written beside the arrow. shows: the part of the plan. caption: datum and ties.
    """

    picture: Drawing
    up: str = ""
    shows: str = ""
    caption: str = ""
    turned: bool = False


def plan_parts(content: InspectionContent) -> tuple[PlanPart, ...]:
    """The plan in one picture to scale, or in cells over as many pages as it takes."""
    layout = content.layout
    if layout is None:
        return (PlanPart(blank_plan(_PICTURE_MM), "UP, toward ______________"),)
    on = content.heading.printed_on
    spots = tuple(
        SpotMark(spot.name, (spot.right_m, spot.up_m))
        for spot in content.spots
        if spot.right_m is not None and spot.up_m is not None
    )
    defects = tuple(
        DefectMark(known.number, known.shape, known.sign)
        for known in content.known
        if known.shape is not None
    )
    system = content.heading.system
    pictures = plan_pictures(
        layout, on=on, size_mm=_PICTURE_MM, system=system, spots=spots, known_defects=defects
    )
    drawn = PlanContent(layout, layout.panels_on(on), on, spots, (), defects, system)
    grid = grid_of(drawn)
    if grid is None or _fits_to_scale(drawn, len(pictures)):
        return tuple(PlanPart(picture) for picture in pictures)
    toward = layout.datum.up_toward
    up = f"UP, toward {toward}" if toward else "UP"
    size = (_PICTURE_MM[0], _PICTURE_MM[1] - _CAPTION_LINES * LINE_MM - 1.0)
    return tuple(
        PlanPart(picture, up, f"here: {words}" if words else "", _caption(drawn), turned)
        for picture, words, turned in cell_pictures(drawn, grid, size)
    )


def _caption(content: PlanContent) -> str:
    """Datum, ties, check length, new concrete; signs are left out, their names stand by them."""
    signs = {kind.value.replace("_", " ") for kind in FeatureKind} | {"test spot"}
    return "; ".join(entry.words for entry in caption(content) if entry.words not in signs)


def _fits_to_scale(content: PlanContent, picture_count: int) -> bool:
    """Every panel or square at least 6 mm each way on one picture."""
    squares = content.layout.squares
    if content.panels or squares is None:
        return picture_count == 1
    across, up = _SQUARES_ROOM_MM[0] / LEAST_CELL_MM, _SQUARES_ROOM_MM[1] / LEAST_CELL_MM
    upright = squares.rights <= across and squares.ups <= up
    return upright or (squares.ups <= across and squares.rights <= up)


def draw_plan(ink: Ink, y: float, part: PlanPart) -> None:
    """Draw the block with its upper edge at y."""
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    ink.line(_KEY_X_MM - 0.7, y, _KEY_X_MM - 0.7, y + PLAN_MM)
    ink.picture(part.picture, _INSET_MM, y + 0.7)
    for nth, line in enumerate(broken(part.caption, _PICTURE_MM[0] - 1, lines=_CAPTION_LINES)):
        foot = y + PLAN_MM - 1.2 - (_CAPTION_LINES - 1 - nth) * LINE_MM
        ink.text(_INSET_MM, foot, line)
    _key(ink, y, part)


def _key(ink: Ink, y: float, part: PlanPart) -> None:
    """Up, the drawing key, and lines for what was not seen."""
    at = y + 0.8
    if part.up:
        arrow = Mark((2.4, 2.4), Symbol.ARROW, 4.0, turn_deg=90 if part.turned else 0)
        ink.picture(Drawing(6.0, 5.0, (arrow,), "up"), _KEY_X_MM, at)
        for words in (part.up, part.shows):
            ink.text_within(_KEY_X_MM + 6.2, at + 3.7, words, _KEY_MM - 6.2)
            at += 4.2 if words else 0.6
    items, height = key_items(0.0, 0.0, _KEY_MM)
    ink.picture(Drawing(_KEY_MM, height, items, "Drawing key"), _KEY_X_MM, at)
    line = at + height + 7.4
    while line < y + PLAN_MM - 0.8:
        ink.line(_KEY_X_MM + MARGIN_MM, line, BOX_WIDTH_MM - MARGIN_MM, line)
        line += ROW_MM
