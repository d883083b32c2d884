"""The driver's day sheet: the stops of one crew's day in their order, filled or blank.

Blocks of stops flow over as many pages as they need; none is cut by the end of a page. What is
known is printed; what is asked is empty.
"""

from collections.abc import Sequence
from functools import partial

from registry.sheets.binding import bind
from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, Paper
from registry.sheets.contents import DayContent, DayStopWords, DrawnSheet, SheetMark
from registry.sheets.day_stop import blank_stop_mm, draw_blank_stop, draw_stop, stop_mm
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, broken
from registry.sheets.rows import MARGIN_MM, ROW_MM, Row
from registry.sheets.sweep import CAUTION

CAUTION_MM, SIGNED_MM = 2 * LINE_MM + 1.6, 2 * ROW_MM
WIDTH = BOX_WIDTH_MM - 2 * MARGIN_MM
NO_STOP = "No stop is planned for this day. Write in what comes in."
BLANK_STOPS = 4


def draw_day(content: DayContent, mark: SheetMark, paper: Paper, public_url: str) -> DrawnSheet:
    """Draw the sheet; the square of dots of a stop opens `public_url` and its path."""
    pages = pages_of(content)
    draws = [
        partial(
            _page,
            content=content,
            stops=stops,
            url=public_url,
            is_first=nth == 0,
            is_last=nth == len(pages) - 1,
        )
        for nth, stops in enumerate(pages)
    ]
    return bind(content.heading, mark, paper, draws)


def pages_of(content: DayContent) -> list[list[DayStopWords]]:
    """Return the stops page by page; the last page keeps room to sign."""
    pages: list[list[DayStopWords]] = [[]]
    room = _room(content, is_first=True)
    for stop in content.stops:
        needed = stop_mm(stop)
        if needed > room and pages[-1]:
            pages.append([])
            room = _room(content, is_first=False)
        pages[-1].append(stop)
        room -= needed
    if room < SIGNED_MM:
        pages.append([])
    return pages


def _room(content: DayContent, *, is_first: bool) -> float:
    head = head_mm(content) if is_first else 0.0
    return BOX_HEIGHT_MM - HEADER_MM - FOOTER_MM - head


def head_mm(content: DayContent) -> float:
    """Return how high the words above the first stop are."""
    rows = 1 + (len(content.facts) > 0)
    return rows * ROW_MM + CAUTION_MM + len(_left_out(content)) * LINE_MM


def _left_out(content: DayContent) -> tuple[str, ...]:
    if not content.left_out:
        return ()
    words = f"In the round, but not for today any more: {'; '.join(content.left_out)}."
    return broken(words, WIDTH, lines=2, bold=True)


def _page(
    ink: Ink,
    *,
    content: DayContent,
    stops: Sequence[DayStopWords],
    url: str,
    is_first: bool,
    is_last: bool,
) -> None:
    y = HEADER_MM
    if is_first:
        _head(ink, content)
        y += head_mm(content)
    for stop in stops:
        ink.rule(y, BOX_WIDTH_MM, THICK_MM)
        draw_stop(ink, y, stop, url, content.heading.system)
        y += stop_mm(stop)
    if not content.stops:
        y = _blank(ink, y, is_blank=content.heading.is_blank)
    if is_last:
        _signed(ink, BOX_HEIGHT_MM - FOOTER_MM - SIGNED_MM)
    if stops and (not is_last or y < BOX_HEIGHT_MM - FOOTER_MM - SIGNED_MM - 1):
        ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    draw_footer(ink)


def _head(ink: Ink, content: DayContent) -> None:
    y = HEADER_MM
    if content.facts:
        row = Row(ink, 0, y, BOX_WIDTH_MM)
        for label, words in content.facts:
            row.word(label).word(words or "not written", bold=True).gap(2)
        y += ROW_MM
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("driver").pen(44).word("with").pen(44).word("left the depot").clock()
    row.word("back").clock()
    y += ROW_MM
    for nth, line in enumerate(broken(CAUTION, WIDTH, lines=2)):
        ink.text(MARGIN_MM, y + (nth + 1) * LINE_MM - 0.4, line)
    y += CAUTION_MM
    for nth, line in enumerate(_left_out(content)):
        ink.text(MARGIN_MM, y + (nth + 1) * LINE_MM - 1.2, line, bold=True)


def _blank(ink: Ink, y: float, *, is_blank: bool) -> float:
    """Draw stops to be written in by pen, and say so where none is planned."""
    if not is_blank:
        ink.rule(y, BOX_WIDTH_MM, THICK_MM)
        ink.text(MARGIN_MM, y + 4.2, NO_STOP, bold=True)
        y += 6.0
    for _ in range(BLANK_STOPS):
        ink.rule(y, BOX_WIDTH_MM, THICK_MM)
        draw_blank_stop(ink, y)
        y += blank_stop_mm()
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    return y


def _signed(ink: Ink, y: float) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("machine checked before leaving, faults").pen_to_end()
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("signed, driver").pen(50).word("seen by").pen(50).word("on").pen_to_end()
