"""The cover walk card: one page a strip, hourly in the first 6 h, then twice a day.

The first hours are the most easily harmed; hourly walks are common practice, no source.
"""

from functools import partial

from registry.gathering.claim_words import PLACING
from registry.sheets.binding import bind
from registry.sheets.box import BOX_WIDTH_MM, Paper, refuse_unless_full
from registry.sheets.contents import CoverContent, CoverStrip, DrawnSheet, SheetMark
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import THICK_MM, Ink
from registry.sheets.load_sheet import draw_lines
from registry.sheets.rows import ROW_MM, Row, table
from registry.units import Kind, System, unit_sign

DUE = (
    "+1 h", "+2 h", "+3 h", "+4 h", "+5 h", "+6 h", "evening", "day 2", "evening", "day 3",
    "evening", "day 4", "day 5", "day 6", "day 7",
)  # fmt: skip
COLUMNS = (
    ("due", 22.0), ("date", 16.0), ("clock", 14.0), ("by", 22.0), ("all lies", 14.0),
    ("bare: panels", 30.0), ("from", 12.0), ("to", 12.0), ("w a p r", 13.0), ("relaid: how", 27.0),
)  # fmt: skip
STRIP_MM, HEAD_MM, WALKS_MM = 3 * ROW_MM, 9.0, len(DUE) * ROW_MM
UNCOVER_MM, EARLY_MM, HELP_MM, SIGNED_MM = 2 * ROW_MM, 3 * ROW_MM, 25.0, ROW_MM
HEIGHTS_MM = (
    HEADER_MM, STRIP_MM, HEAD_MM, WALKS_MM, UNCOVER_MM, EARLY_MM, HELP_MM, SIGNED_MM, FOOTER_MM,
)  # fmt: skip
EARLY = ("feet", "animal", "cart", "car", "truck")
HELP = (
    "Cause: w wind, a animal, p person, r rain. A sheet that lies bare is misted, relaid and "
    "weighted at once, and its clock written down. Nobody walks on the concrete."
)


def draw_cover_card(content: CoverContent, mark: SheetMark, paper: Paper) -> DrawnSheet:
    """Draw the cards, one page a strip."""
    refuse_unless_full(HEIGHTS_MM)
    pages = [partial(_page, content=content, strip=strip) for strip in content.strips]
    return bind(content.heading, mark, paper, pages)


def _page(ink: Ink, *, content: CoverContent, strip: CoverStrip) -> None:
    y = HEADER_MM
    _strip(ink, y, content, strip)
    y += STRIP_MM
    _walks(ink, y, strip)
    y += HEAD_MM + WALKS_MM
    _uncover(ink, y)
    y += UNCOVER_MM
    _early(ink, y)
    y += EARLY_MM
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    draw_lines(ink, y + 0.4, (HELP, PLACING), (2, 3))
    y += HELP_MM
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("released to traffic on").pen(30).word("signed").pen_to_end()
    draw_footer(ink)


def _strip(ink: Ink, y: float, content: CoverContent, strip: CoverStrip) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("placed")
    if content.on:
        row.word(content.on, bold=True)
    else:
        row.comb("####-##-##")
    row.word("STRIP, panels", bold=True).printed(strip.panels, row.end - row.at)
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("last foot covered")
    if strip.last_covered:
        row.word(strip.last_covered, bold=True)
    else:
        row.pen(20).clock()
    row.word("to stay covered").printed(strip.required, 24, bold=True)
    row.word("not uncovered before").printed(strip.not_before, row.end - row.at, bold=True)
    row = Row(ink, 0, y + 2 * ROW_MM, BOX_WIDTH_MM)
    sheet = unit_sign(Kind.SHEET, System(content.heading.system))
    row.word("sheet").pen(10).word(sheet).word("misted").tick("y").tick("n").word("laps")
    row.tick("taped").tick("wide").tick("none").word("edges").tick("lumber").tick("soil")
    row.tick("none")


def _walks(ink: Ink, y: float, strip: CoverStrip) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    starts = table(ink, y, COLUMNS, len(DUE), head_mm=HEAD_MM)
    for nth, due in enumerate(DUE):
        foot = y + HEAD_MM + (nth + 1) * ROW_MM - 2.4
        clock = strip.hourly[nth] if nth < len(strip.hourly) else ""
        ink.text_within(starts[0] + 1.0, foot, f"{due} {clock}".strip(), COLUMNS[0][1] - 1.5)
        ink.tick(starts[4] + 1.5, foot - 3.2)
        ink.text(starts[4] + 6.4, foot, "y")


def _uncover(ink: Ink, y: float) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    for nth in range(2):
        row = Row(ink, 0, y + nth * ROW_MM, BOX_WIDTH_MM)
        row.word("UNCOVERED" if nth == 0 else "and", bold=nth == 0).pen(26).clock()
        row.word("panels").pen(56).word("by").pen_to_end()


def _early(ink: Ink, y: float) -> None:
    """Feet or wheels before the release, as they are seen."""
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    for nth in range(3):
        row = Row(ink, 0, y + nth * ROW_MM, BOX_WIDTH_MM)
        row.word("ON IT EARLY" if nth == 0 else "and", bold=nth == 0)
        for what in EARLY:
            row.tick(what)
        row.word("panels").pen(22).pen(18).clock().word("by").pen_to_end()
