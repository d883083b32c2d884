"""The inspection sheet: one page, and more where the plan or the known defects need them.

The heights of its blocks make up the box without the foot of 8 mm that other pages have; the
words of that foot stand under the signature, in the last block.
"""

from collections.abc import Sequence
from functools import partial

from registry.sheets.binding import Page, bind
from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, Paper, refuse_unless_full
from registry.sheets.contents import DrawnSheet, InspectionContent, KnownDefect, SheetMark
from registry.sheets.defect_blocks import (
    HEAD_MM,
    KNOWN_MM,
    KNOWN_ROWS,
    NEW_MM,
    draw_known,
    draw_new,
)
from registry.sheets.footer import FOOTER_MM, draw_footer, draw_note
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import HEADING_PT, THICK_MM, Ink
from registry.sheets.plan_block import PLAN_MM, PlanPart, draw_plan, plan_parts
from registry.sheets.rows import MARGIN_MM, ROW_MM, Row
from registry.sheets.visit_block import VISIT_MM, draw_visit
from registry.units import Kind, System, unit_sign

CAUTION = "Mind traffic, lips, holes; be easy to see. Local rules come first."
CAUTION_AT_MM = 64.0
WATER_MM, FOOT_MM = 16.0, 10.0
HEIGHTS_MM = (HEADER_MM, VISIT_MM, PLAN_MM, KNOWN_MM, NEW_MM, WATER_MM, FOOT_MM)
_REST_ROWS = int((BOX_HEIGHT_MM - HEADER_MM - FOOTER_MM - HEAD_MM) // ROW_MM)


def draw_inspection(content: InspectionContent, mark: SheetMark, paper: Paper) -> DrawnSheet:
    """Draw the sheet. Raises SheetError where its blocks do not make up the box."""
    refuse_unless_full(HEIGHTS_MM)
    parts = plan_parts(content)
    first, rest = content.known[:KNOWN_ROWS], content.known[KNOWN_ROWS:]
    more = f"(more: page {len(parts) + 1})" if rest else ""
    pages: list[Page] = [
        partial(_first_page, content=content, part=parts[0], known=first, more=more)
    ]
    pages += [partial(_plan_page, part=part) for part in parts[1:]]
    pages += [
        partial(_known_page, known=rest[at : at + _REST_ROWS])
        for at in range(0, len(rest), _REST_ROWS)
    ]
    return bind(content.heading, mark, paper, pages)


def _first_page(
    ink: Ink,
    *,
    content: InspectionContent,
    part: PlanPart,
    known: Sequence[KnownDefect],
    more: str,
) -> None:
    system = content.heading.system
    # Beside the units, where other sheets tick their method.
    Row(ink, CAUTION_AT_MM, HEADER_MM - 5.7, BOX_WIDTH_MM - CAUTION_AT_MM, 5.6).word(CAUTION)
    y = HEADER_MM
    draw_visit(ink, y, system)
    y += VISIT_MM
    draw_plan(ink, y, part)
    y += PLAN_MM
    draw_known(ink, y, known, KNOWN_ROWS, more_on=more)
    y += KNOWN_MM
    draw_new(ink, y, content.layout, system)
    y += NEW_MM
    _water(ink, y, system)
    y += WATER_MM
    _foot(ink, y)


def _plan_page(ink: Ink, *, part: PlanPart) -> None:
    """A further part of the plan, and rows for remarks below it."""
    draw_plan(ink, HEADER_MM, part)
    y = HEADER_MM + PLAN_MM
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    ink.text(MARGIN_MM, y + 6.0, "REMARKS", size=HEADING_PT, bold=True)
    y += ROW_MM
    while y + ROW_MM <= BOX_HEIGHT_MM - FOOTER_MM:
        y += ROW_MM
        ink.rule(y, BOX_WIDTH_MM - 2 * MARGIN_MM, x=MARGIN_MM)
    draw_footer(ink)


def _known_page(ink: Ink, *, known: Sequence[KnownDefect]) -> None:
    """The known defects that have no row on the first page."""
    draw_known(ink, HEADER_MM, known, _REST_ROWS)
    draw_footer(ink)


def _water(ink: Ink, y: float, system: System) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    depth = unit_sign(Kind.SMALL_LENGTH, system)
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("water stands").tick("no").tick("yes, where").pen(19).pen(8).word(f"{depth} deep")
    row.pen(8).label("min after", "rain").gap(1).label("ran", "off").tick("no").tick("yes, where")
    row.pen_to_end()
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("well").pen(6).word(":").pen(9).label(f"{depth} to", "water at").clock()
    row.word("dirt from").pen(30).word("drains").tick("ok").pen(15)
    row.label("made safe", "at once").pen_to_end()


def _foot(ink: Ink, y: float) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y - 0.6, BOX_WIDTH_MM, ROW_MM - 0.8)
    row.word("signed").pen(40).word("next due").pen(24).word("copied in by").pen(28)
    row.word("on").pen_to_end()
    draw_note(ink, MARGIN_MM, y + FOOT_MM - 4.6, BOX_WIDTH_MM - 2 * MARGIN_MM, lines=1)
