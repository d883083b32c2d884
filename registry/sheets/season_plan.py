"""The season's plan on one page: the picture of its page, the figures by month, what they rest on.

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
PICTURE_MM = (BOX_WIDTH_MM - 4.0, 95.0)
_LINE_MM = 4.6
_COLUMNS_MM = (MARGIN_MM, 17.0, 33.0, 50.0, 63.0, 86.0, 100.0, 142.0)
_HEADS = (
    ("month", ""), ("below", "without"), ("below", "with plan"), ("orders", ""), ("area", ""),
    ("crew-", "days"), ("cost", ""), ("one more", "crew-day spares"),
)  # fmt: skip
CAUTION = (
    "Expected numbers are sums of chances by the fits in force, no promise. Contracts, permits and "
    "the people on the site decide."
)


@dataclass(frozen=True)
class SeasonContent:
    """picture: at most PICTURE_MM. months: cells in the order of the table. facts: sentences."""

    heading: Heading
    picture: Drawing
    months: tuple[tuple[str, ...], ...]
    facts: tuple[str, ...]


def draw_season_plan(content: SeasonContent, address: str, paper: Paper) -> DrawnSheet:
    """Draw the page; the square of dots opens `address`. SheetError where it has no room."""
    mark = SheetMark(NOT_NUMBERED, address)
    return bind(content.heading, mark, paper, [partial(_page, content=content)])


def _page(ink: Ink, *, content: SeasonContent) -> None:
    ink.picture(content.picture, 2.0, HEADER_MM + 2.0)
    y = HEADER_MM + 2.0 + content.picture.height_mm + 3.0
    y = _table(ink, y, content.months)
    width = BOX_WIDTH_MM - 2 * MARGIN_MM
    for fact in (*content.facts, CAUTION):
        for line in broken(fact, width, lines=4):
            y += _LINE_MM
            ink.text(MARGIN_MM, y + 2.0, line)
        y += 1.0
    if y + 2.0 > BOX_HEIGHT_MM - FOOTER_MM - 1.0:
        raise SheetError("The words of this plan have no room on one page: ask for fewer months.")
    draw_footer(ink)


def _table(ink: Ink, y: float, months: tuple[tuple[str, ...], ...]) -> float:
    ink.rule(y, BOX_WIDTH_MM)
    ends = (*_COLUMNS_MM[1:], BOX_WIDTH_MM)
    heads = tuple(zip(*_HEADS, strict=True))
    for nth, cells in enumerate((*heads, *months)):
        y += _LINE_MM
        for left, right, words in zip(_COLUMNS_MM, ends, cells, strict=True):
            ink.text_within(left, y, words, right - left - 1.5, bold=nth < len(heads))
    ink.rule(y + 1.6, BOX_WIDTH_MM)
    return y + 1.6
