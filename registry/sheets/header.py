"""The head of every page, 20 mm: what, where, whose numbers, which print, which units."""

from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.contents import Heading, SheetMark
from registry.sheets.ink import HEADING_PT, THICK_MM, Ink, shortened, width_of
from registry.sheets.rows import MARGIN_MM, Row
from registry.units import System

HEADER_MM = 20.0
QR_MM = 19.0
_WIDTH = BOX_WIDTH_MM - QR_MM - 1.0
_UNITS_MM = 5.6
UNITS = {System.INCH_POUND: "ft, in, lb", System.SI: "m, mm, kg"}
METHODS = (
    ("c1701", "C1701"),
    ("c1781", "C1781"),
    ("quick_pour", "quick pour, not to standard"),
)


def draw_header(
    ink: Ink, heading: Heading, mark: SheetMark, page: int, pages: int, *, method: str | None = None
) -> None:
    """Draw the head of a page. `method` adds the ticks for the test method, one of them printed."""
    ink.qr(BOX_WIDTH_MM - QR_MM - 0.5, 0.5, QR_MM, mark.address)
    _name(ink, heading)
    _numbers(ink, heading)
    _print(ink, heading, mark, f"page {page} of {pages}")
    _units(ink, heading.system, method)
    ink.rule(HEADER_MM, BOX_WIDTH_MM, THICK_MM)


def _name(ink: Ink, heading: Heading) -> None:
    foot = 5.1
    at = ink.text(MARGIN_MM, foot, heading.title, size=HEADING_PT, bold=True) + 3
    if heading.is_blank and heading.line:
        return
    if heading.is_blank:
        row = Row(ink, at - MARGIN_MM, 0.2, _WIDTH - at + MARGIN_MM, 6.4)
        row.word("pavement").pen(48).word("street").pen_to_end()
        return
    room = _WIDTH - at
    street = shortened(heading.street, room * 0.45)
    name = shortened(heading.pavement, room - width_of(street) - 3, size=HEADING_PT, bold=True)
    at = ink.text(at, foot, name, size=HEADING_PT, bold=True) + 3
    ink.text(at, foot, street)


def _numbers(ink: Ink, heading: Heading) -> None:
    foot = 9.6
    if heading.line:
        ink.text_within(MARGIN_MM, foot, heading.line, _WIDTH)
        return
    if heading.is_blank:
        row = Row(ink, 0, 4.9, _WIDTH, 6.4)
        row.word("own no.").pen(32).word("other nos.").pen_to_end()
        return
    others = f"other nos. {', '.join(heading.other_numbers) or 'none'}"
    if heading.own_number:
        own = f"own no. {heading.own_number}"
        at = ink.text_within(MARGIN_MM, foot, own, _WIDTH * 0.45, bold=True) + 4
    else:
        at = Row(ink, 0, 4.9, _WIDTH, 6.4).word("own no.").pen(32).at + 3
    ink.text_within(at, foot, others, _WIDTH - at)


def _print(ink: Ink, heading: Heading, mark: SheetMark, page: str) -> None:
    foot = 13.6
    at = ink.text(MARGIN_MM, foot, "sheet ")
    at = ink.text(at, foot, mark.number, bold=True)
    at = ink.text(at + 4, foot, f"printed {heading.printed_on.isoformat()}")
    if heading.line:
        pass  # of no one pavement, so of no plan
    elif heading.is_blank:
        at = ink.text(at + 4, foot, "plan no. ______")
    else:
        number = "none" if heading.plan_number is None else heading.plan_number
        at = ink.text(at + 4, foot, f"plan no. {number}")
    ink.text(at + 4, foot, page, bold=True)


def _units(ink: Ink, system: System, method: str | None) -> None:
    row = Row(ink, 0, HEADER_MM - _UNITS_MM - 0.1, _WIDTH, _UNITS_MM)
    row.word("This sheet is in:")
    for choice, words in UNITS.items():
        row.tick(words, is_ticked=choice == system)
    if method is not None:
        row.gap(1)
        for known, words in METHODS:
            row.tick(words, is_ticked=known == method)
