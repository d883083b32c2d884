"""The hand-over certificate: from whom, what, state, what is open, cover, signatures."""

from collections.abc import Callable

from registry.gathering.claim_words import NOT_LIABLE
from registry.sheets.binding import bind
from registry.sheets.box import BOX_WIDTH_MM, Paper, SheetError
from registry.sheets.contents import DrawnSheet, HandOverContent, SheetMark
from registry.sheets.footer import draw_footer
from registry.sheets.hand_over_content import OPEN, PEN, SIGHT, WALKED
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import THICK_MM, Ink, broken
from registry.sheets.rows import ROW_MM, Row

PITCHES = (4.3, 3.9, 3.6)
"""Millimetres from line to line: the widest with which all stands on one page, else the first."""
LABEL_MM, MARK_MM = 42.0, 26.0
SIGNED_MM = 3 * ROW_MM
FOOT_MM = 246.0
MOST_LINES = 12
SIGNERS = ("giver", "taker", "contractor")


Line = tuple[str, str, str]
"""Label, mark, words."""


def draw_hand_over(content: HandOverContent, mark: SheetMark, paper: Paper) -> DrawnSheet:
    """Draw the certificate; what has no room goes on to a further page, signatures come last."""
    lines = _lines(content)
    laid = [(_paged(lines, pitch), pitch) for pitch in PITCHES]
    pages, pitch = next((one for one in laid if len(one[0]) == 1), laid[0])
    drawn = [_painter(own, content, pitch, n == len(pages) - 1) for n, own in enumerate(pages)]
    return bind(content.heading, mark, paper, drawn)


def _paged(lines: list[Line], pitch: float) -> list[list[Line]]:
    """Lay lines out on pages; no heading stands alone."""
    pages: list[list[Line]] = [[]]
    room = FOOT_MM - HEADER_MM - SIGNED_MM
    used = 0.0
    for nth, line in enumerate(lines):
        need = _height(line, pitch)
        if need > room:
            raise SheetError("A line of the certificate is longer than a page. Say it shorter.")
        follows = _height(lines[nth + 1], pitch) if _is_heading(line) else 0.0
        if used + need + follows > room:
            pages.append([])
            used = 0.0
        pages[-1].append(line)
        used += need
    return pages


def _lines(content: HandOverContent) -> list[Line]:
    """Return (label, mark, words) from top to foot; a heading has a label alone."""
    found = [(label, "", words) for label, words in content.facts]
    found.append(("WHAT IS HANDED OVER", "", ""))
    found += [(what, mark, words) for what, mark, words in content.lines]
    found.append(("STATE WHEN DRAWN UP", "", ""))
    found += [(label, "", words) for label, words in content.state]
    found.append(("OPEN, AND WHAT BECOMES OF IT", "", ""))
    found += [(what, "", becomes) for what, becomes in content.opens] or [("none", "", "nothing")]
    found.append(("WARRANTY", "", ""))
    found += [(label, "", words) for label, words in content.warranty]
    found.append(("CARE DUTIES", "", ""))
    found += [(label, "", words) for label, words in content.care]
    found.append(("NOT KNOWN", "", ""))
    found += [(" ", "", words) for words in content.not_known or ("nothing written",)]
    found.append(("SIGHT", "", ""))
    found.append(("copies", "", content.copies))
    told = ""
    if content.walked == PEN:
        found.append((WALKED, "", PEN))
    else:
        told = f"Taker walked it, plan in hand: {content.walked or OPEN}."
    found.append(("", "", f"{told} {SIGHT} {NOT_LIABLE}".strip()))
    return found


def _is_heading(line: Line) -> bool:
    return line[0].isupper()


def _words(line: Line) -> list[str]:
    wide = BOX_WIDTH_MM - _at(line) - (MARK_MM if line[1] else 0) - 4
    return list(broken(line[2], wide, lines=MOST_LINES)) if line[2] else [""]


def _at(line: Line) -> float:
    """Words without a label take the whole width."""
    return LABEL_MM if line[0] else 1.5


def _label(line: Line) -> tuple[str, ...]:
    return broken(line[0], LABEL_MM - 3, lines=4) if line[0] else ()


def _height(line: Line, pitch: float) -> float:
    if _is_heading(line):
        return pitch + 2.2
    if line[2] == PEN:
        return ROW_MM
    return max(len(_words(line)), len(_label(line)), 1) * pitch


def _painter(
    lines: list[Line], content: HandOverContent, pitch: float, is_last: bool
) -> Callable[[Ink], None]:
    def paint(ink: Ink) -> None:
        y = HEADER_MM + pitch
        for line in lines:
            y = _paint_line(ink, y, line, pitch)
        if is_last:
            _sign(ink, content)
        draw_footer(ink)

    return paint


def _paint_line(ink: Ink, y: float, line: Line, pitch: float) -> float:
    if _is_heading(line):
        ink.rule(y - pitch + 2.0, BOX_WIDTH_MM)
        ink.text(1.5, y + 1.6, line[0], bold=True)
        return y + pitch + 2.2
    at, foot = _at(line), y + _height(line, pitch)
    y += ROW_MM - pitch if line[2] == PEN else 0.0
    for nth, words in enumerate(_label(line)):
        ink.text(1.5, y + nth * pitch, words)
    if line[1]:
        ink.text(at, y, line[1], bold=True)
        at += MARK_MM
    if line[2] == PEN:
        ink.line(at, y + 0.7, BOX_WIDTH_MM - 2, y + 0.7)
    for nth, words in enumerate(_words(line)):
        ink.text(at, y + nth * pitch, words)
    return foot


def _sign(ink: Ink, content: HandOverContent) -> None:
    y = FOOT_MM - SIGNED_MM
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    signed = dict(content.signed)
    for nth, who in enumerate(SIGNERS):
        row = Row(ink, 0, y + nth * ROW_MM, BOX_WIDTH_MM)
        row.word(who, bold=True)
        told = signed.get(f"signed by {who}", "")
        if told:
            row.word(told)
        elif who == "contractor" and not content.is_first:
            row.word("first hand-over only")
        else:
            row.pen(50).word("date, place").pen_to_end()
        if who == "taker" and told:
            row.word("walked it with the plan:").word(content.walked or "not filled in")
