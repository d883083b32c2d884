"""One stop on the driver's day sheet: printed words left, its square of dots right."""

from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.contents import DayStopWords
from registry.sheets.ink import HEADING_PT, LINE_MM, Ink, broken, width_of
from registry.sheets.rows import MARGIN_MM, ROW_MM, Row
from registry.units import System

HEAD_MM, FOOT_MM = 6.2, 1.4
QR_MM = 19.0
WIDTH = BOX_WIDTH_MM - QR_MM - 3.0
LINES_OF_A_NAME, LINES_OF_A_FACT = 2, 8
"""A longer name ends in "…"; the square of dots opens the rest. Eight lines hold what a site has
room for, whole: a driver at a locked gate needs the last word of the note.
"""
WORK, PLACE = "SWEEP", ("DUMP", "WATER")
VOLUME = {System.INCH_POUND: "yd³", System.SI: "m³"}
LIQUID = {System.INCH_POUND: "gal", System.SI: "L"}
_BLANK_ROWS = 4


def stop_mm(stop: DayStopWords) -> float:
    """Return how high a stop is on the sheet."""
    words = HEAD_MM + len(_lines(stop)) * LINE_MM + FOOT_MM
    return max(words, QR_MM + 1.0 if stop.path else 0.0) + ROW_MM


def _lines(stop: DayStopWords) -> list[tuple[str, str, bool]]:
    """Return the lines below the head: label, words, whether they are in bold."""
    width = _width(stop)
    found: list[tuple[str, str, bool]] = []
    name = " ".join(part for part in (stop.order, stop.name) if part)
    for words in (name, *stop.alarms):
        found += [
            ("", line, True) for line in broken(words, width, lines=LINES_OF_A_NAME, bold=True)
        ]
    for label, words in stop.lines:
        room = width - width_of(f"{label} ", bold=True)
        first = broken(words, room, lines=2)[0]
        found.append((label, first, False))
        rest = " ".join(words.split()[len(first.split()) :])
        lines = broken(rest, width, lines=LINES_OF_A_FACT - 1)
        found += [("", line, False) for line in lines]
    return found


def _width(stop: DayStopWords) -> float:
    return (WIDTH if stop.path else BOX_WIDTH_MM) - 2 * MARGIN_MM


def draw_stop(ink: Ink, y: float, stop: DayStopWords, url: str, system: System) -> None:
    """Draw a stop, its upper edge at y."""
    if stop.path:
        ink.qr(BOX_WIDTH_MM - QR_MM - 0.7, y + 0.8, QR_MM, f"{url}{stop.path}")
    _head(ink, y, stop)
    at = y + HEAD_MM
    for label, words, is_bold in _lines(stop):
        at += LINE_MM
        x = MARGIN_MM
        if label:
            x = ink.text(x, at - 0.6, f"{label} ", bold=True)
        ink.text(x, at - 0.6, words, bold=is_bold)
    foot = y + stop_mm(stop) - ROW_MM
    if stop.kind == WORK:
        _done(ink, foot)
    else:
        _left_there(ink, foot, stop, system)


def _head(ink: Ink, y: float, stop: DayStopWords) -> None:
    """Write number, kind and times."""
    foot, x = y + 4.9, MARGIN_MM
    x = ink.text(x, foot, f"{stop.number}", size=HEADING_PT, bold=True) + 2
    x = ink.text(x, foot, stop.kind, bold=True) + 2
    times = (("arrive", stop.arrives), ("begin", stop.begins), ("end", stop.ends))
    for label, clock in times:
        if clock:
            x = ink.text(x, foot, f"{label} ")
            x = ink.text(x, foot, clock, bold=True) + 2
    if not any(clock for _, clock in times):
        x = ink.text(x, foot, "no clock time set") + 2
    if stop.drive:
        ink.text(x, foot, f"drive there {stop.drive}")


def _done(ink: Ink, y: float) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("came").clock().word("left").clock().tick("done").tick("in part").tick("turned away")
    row.tick("called off").word("rows not done, why").pen_to_end()


def _left_there(ink: Ink, y: float, stop: DayStopWords, system: System) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("came").clock().word("left").clock()
    if stop.kind == "DUMP":
        row.word(VOLUME[system]).pen(20).tick("dry").tick("wet").word("ticket no.").pen_to_end()
    else:
        row.word(LIQUID[system]).pen(24).word("meter").pen_to_end()


def blank_stop_mm() -> float:
    """Return how high a stop to be written in is."""
    return _BLANK_ROWS * ROW_MM


def draw_blank_stop(ink: Ink, y: float) -> None:
    """Draw a stop to be written in by pen."""
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("stop").pen(10).tick("sweep").tick("dump").tick("water").word("order no.").pen(26)
    row.word("pavement").pen_to_end()
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("address, entrance").pen(60).word("hours").pen(34).word("gate").pen_to_end()
    row = Row(ink, 0, y + 2 * ROW_MM, BOX_WIDTH_MM)
    row.word("height").pen(18).word("axle").pen(18).word("method").pen(40).word("rows").pen_to_end()
    _done(ink, y + 3 * ROW_MM)
