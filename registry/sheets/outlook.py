"""The outlook of a pavement on one page: the chart of its page, what it says, what cleaning does.

It is a picture for the file, not a sheet to fill in: it carries no sheet number.
"""

from dataclasses import dataclass
from functools import partial

from registry.drawing.primitives import Drawing
from registry.sheets.binding import bind
from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, Paper, SheetError
from registry.sheets.contents import DrawnSheet, Heading, SheetMark
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import Ink, broken
from registry.sheets.rows import MARGIN_MM

NOT_NUMBERED = "none (picture for the file)"
PICTURE_MM = (BOX_WIDTH_MM - 4.0, 120.0)
_LINE_MM = 4.6
_COLUMNS_MM = (MARGIN_MM, 40.0, 66.0, 106.0, 146.0)
_HEADS = ("if cleaned today by", "rate after", "80 % interval", "below; worst place", "then by")
METHODS_NOTE = (
    "Rate and chance below after a cleaning are of the surface as a whole; the second chance is "
    "that of the worst place, which decides until when it lasts."
)
CAUTION = (
    "These are estimates from all tests and cleanings of the pavements judged together. The "
    "condition rests on measured readings alone; engineers, contracts and permits decide."
)


@dataclass(frozen=True)
class OutlookContent:
    """picture: at most PICTURE_MM. facts: lines of words. methods: cells in the order of _HEADS."""

    heading: Heading
    picture: Drawing
    facts: tuple[str, ...]
    methods: tuple[tuple[str, ...], ...]


def draw_outlook(content: OutlookContent, address: str, paper: Paper) -> DrawnSheet:
    """Draw the page; the square of dots opens `address`. SheetError where it has no room."""
    mark = SheetMark(NOT_NUMBERED, address)
    return bind(content.heading, mark, paper, [partial(_page, content=content)])


def _page(ink: Ink, *, content: OutlookContent) -> None:
    ink.picture(content.picture, 2.0, HEADER_MM + 2.0)
    y = HEADER_MM + 2.0 + content.picture.height_mm + 3.0
    ink.rule(y, BOX_WIDTH_MM)
    width = BOX_WIDTH_MM - 2 * MARGIN_MM
    for fact in content.facts:
        for line in broken(fact, width, lines=2):
            y += _LINE_MM
            ink.text(MARGIN_MM, y, line)
    if content.methods:
        y = _methods(ink, y + 3.0, content.methods)
    words = f"{METHODS_NOTE} {CAUTION}" if content.methods else CAUTION
    for line in broken(words, width, lines=4):
        y += _LINE_MM
        ink.text(MARGIN_MM, y + 2.0, line)
    if y + 2.0 > BOX_HEIGHT_MM - FOOTER_MM - 1.0:
        raise SheetError("The words of this outlook have no room on one page.")
    draw_footer(ink)


def _methods(ink: Ink, y: float, rows: tuple[tuple[str, ...], ...]) -> float:
    ink.rule(y, BOX_WIDTH_MM)
    ends = (*_COLUMNS_MM[1:], BOX_WIDTH_MM)
    for nth, cells in enumerate((_HEADS, *rows)):
        y += _LINE_MM
        for left, right, words in zip(_COLUMNS_MM, ends, cells, strict=True):
            ink.text_within(left, y, words, right - left - 1.5, bold=nth == 0)
    ink.rule(y + 1.6, BOX_WIDTH_MM)
    return y + 1.6
