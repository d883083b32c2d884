"""The infiltration test sheet: three spots a page, each with room for two runs."""

from functools import partial

from registry.sheets.binding import bind
from registry.sheets.box import BOX_WIDTH_MM, Paper, SheetError, refuse_unless_full
from registry.sheets.contents import DrawnSheet, InfiltrationContent, PlannedSpot, SheetMark
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, broken, width_of
from registry.sheets.pouring_times import help_lines
from registry.sheets.rows import MARGIN_MM, Row
from registry.sheets.spot_block import SPOT_MM, draw_spot
from registry.units import Kind, System, unit_sign

DAY_MM, HELP_MM, FOOT_MM = 30.0, 18.0, 18.0
SPOTS_A_PAGE = 3
HEIGHTS_MM = (HEADER_MM, DAY_MM, *(SPOT_MM,) * SPOTS_A_PAGE, HELP_MM, FOOT_MM)
LIMIT_MIN = 30
REASONS = (
    "acceptance",
    "yearly",
    "before cleaning",
    "after cleaning",
    "complaint",
    "audit",
    "warranty",
    "hand-over",
)
# Usual care, common practice without a source; local rules and the site's own come first.
CAUTION = (
    "Take care: set cones and wear high-visibility clothing where cars move, look up between "
    "pours; keep hoses and buckets out of the walking line; lift 40 lb (18 kg) in two goes. "
    "Local rules come first."
)


def draw_infiltration(content: InfiltrationContent, mark: SheetMark, paper: Paper) -> DrawnSheet:
    """Draw the sheet: as many pages as its spots need, one with empty places where there are none.

    Raises SheetError where the blocks do not make up the box.
    """
    refuse_unless_full(HEIGHTS_MM)
    spots = content.spots
    groups = [spots[at : at + SPOTS_A_PAGE] for at in range(0, len(spots), SPOTS_A_PAGE)] or [()]
    pages = [partial(_page, content=content, spots=group) for group in groups]
    return bind(content.heading, mark, paper, pages, method=content.method)


def _page(ink: Ink, *, content: InfiltrationContent, spots: tuple[PlannedSpot, ...]) -> None:
    system = content.heading.system
    y = HEADER_MM
    _day(ink, y, system)
    y += DAY_MM
    places: list[PlannedSpot | None] = [*spots]
    places += [None] * (SPOTS_A_PAGE - len(places))
    for spot in places:
        draw_spot(ink, y, spot, system)
        y += SPOT_MM
    _help(ink, y, system)
    y += HELP_MM
    _foot(ink, y)
    draw_footer(ink)


def _day(ink: Ink, y: float, system: System) -> None:
    """Three rows to write in and, between them, one of ticks alone, which needs 6 mm."""
    width = BOX_WIDTH_MM
    row = Row(ink, 0, y, width)
    row.word("date").comb("####-##-##").word("tester").pen(38).word("organisation").pen_to_end()
    y += 8
    row = Row(ink, 0, y, width, 6)
    row.word("reason")
    for reason in REASONS:
        row.tick(reason)
    y += 6
    row = Row(ink, 0, y, width)
    row.word("last rain ended").pen(20).word("at").clock().pen(9)
    row.word(unit_sign(Kind.SMALL_LENGTH, system)).gap(1)
    row.word("standing water").tick("n").tick("y: do not test", is_bold=True).gap(1)
    row.word("air").pen(9).word("water").pen(9).word(unit_sign(Kind.TEMPERATURE, system))
    y += 8
    row = Row(ink, 0, y, width)
    row.word("ring no.").pen(16).label("inside diameter", "measured")
    row.comb("##.##" if system == System.INCH_POUND else "###.#")
    row.word(unit_sign(Kind.RING, system)).gap(2).word("scale no.").pen(15).word("or")
    row.tick("marked bucket").gap(1).word("limit").word(f"{LIMIT_MIN} min", bold=True)


def _help(ink: Ink, y: float, system: System) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    width = BOX_WIDTH_MM - 2 * MARGIN_MM
    lines = [*help_lines(system), *broken(CAUTION, width, lines=2)]
    if any(width_of(line) > width for line in lines):
        raise SheetError("The help lines are wider than the sheet.")
    for nth, line in enumerate(lines):
        ink.text(MARGIN_MM, y + 4.4 + nth * (LINE_MM + 0.3), line)


def _foot(ink: Ink, y: float) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y, BOX_WIDTH_MM, FOOT_MM - FOOTER_MM)
    row.word("usable for trend").tick("y").tick("n").word("why").pen(46)
    row.word("(filled by the manager)").gap(2).word("signature").pen_to_end()
