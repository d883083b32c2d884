"""The load sheet: one row a ticket, with the limits of the day and cautions; filled or blank.

What is known is printed; what is asked is empty. The heights of its blocks make up the box.
"""

from functools import partial

from registry.gathering.claim_words import PLACING
from registry.sheets.binding import bind
from registry.sheets.box import BOX_WIDTH_MM, Paper, SheetError, refuse_unless_full
from registry.sheets.contents import DrawnSheet, LoadContent, LoadRowWords, SheetMark
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, broken, width_of
from registry.sheets.rows import GAP_MM, MARGIN_MM, ROW_MM, Row
from registry.units import Kind, System, unit_sign

ROWS = 16
DAY_MM, LIMITS_MM, HEAD_MM, WEATHER_MM = 2 * ROW_MM, 2 * ROW_MM, 9.0, 3 * ROW_MM
LEAST_PEN_MM = 12.0
"""Room to write a number in."""
LOADS_MM, HELP_MM, SIGNED_MM = ROWS * ROW_MM, 25.0, ROW_MM
HEIGHTS_MM = (
    HEADER_MM, DAY_MM, LIMITS_MM, HEAD_MM, LOADS_MM, WEATHER_MM, HELP_MM, SIGNED_MM, FOOTER_MM,
)  # fmt: skip
SUBBASE = ("damp", "dry", "wet", "frozen: stop")
LIMITS = (
    ("must match test panel no.", "thickness", "cover within, min", "batch to discharge, min"),
    ("w/cm at most", "design", "density", "evaporation at most"),
)
HELP = (
    "By: d driver, f foreman, t tester, nk nobody knows. Look: d dry and dull, e even wet sheen, "
    "r paste running. A load in two lanes takes two rows with one load no. Cover: clock of the "
    "first and of the last foot. Lanes in {length} up from the datum line."
)


def draw_load_sheet(content: LoadContent, mark: SheetMark, paper: Paper) -> DrawnSheet:
    """Draw the sheet, as many pages as its loads take."""
    refuse_unless_full(HEIGHTS_MM)
    parts = [content.rows[n : n + ROWS] for n in range(0, len(content.rows), ROWS)] or [()]
    pages = [partial(_page, content=content, rows=rows) for rows in parts]
    return bind(content.heading, mark, paper, pages)


def _page(ink: Ink, *, content: LoadContent, rows: tuple[LoadRowWords, ...]) -> None:
    y = HEADER_MM
    _day(ink, y, content)
    y += DAY_MM
    _limits(ink, y, content)
    y += LIMITS_MM
    _loads(ink, y, content, rows)
    y += HEAD_MM + LOADS_MM
    _weather(ink, y, content.heading.system)
    y += WEATHER_MM
    _help(ink, y, content.heading.system)
    y += HELP_MM
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("written by").pen(50).word("signed").pen_to_end()
    draw_footer(ink)


def _day(ink: Ink, y: float, content: LoadContent) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("date")
    if content.on:
        row.word(content.on, bold=True)
    else:
        row.comb("####-##-##")
    row.word("start").clock().word("end").clock().word("foreman")
    row.printed(content.foreman, row.end - row.at)
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("plant").pen(26).word("mix").pen(26).word("each load")
    row.pen(12).word(unit_sign(Kind.VOLUME, content.heading.system)).word("subbase", bold=True)
    for words in SUBBASE:
        row.tick(words, is_ticked=bool(content.subbase) and words.startswith(content.subbase))


def _limits(ink: Ink, y: float, content: LoadContent) -> None:
    """Print the limits of the day, which decide on the spot; what is not known is a line."""
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    known = dict(content.limits)
    for nth, labels in enumerate(LIMITS):
        row = Row(ink, 0, y + nth * ROW_MM, BOX_WIDTH_MM)
        if nth == 0:
            row.word("LIMITS", bold=True)
        room = row.end - row.at - sum(width_of(label) + 2 * GAP_MM for label in labels)
        shares = _shares([known.get(label, "") for label in labels], room)
        for label, width in zip(labels, shares, strict=True):
            row.word(label).printed(known.get(label, ""), width, bold=True)


def _shares(words: list[str], room: float) -> list[float]:
    """Share out a width: words in bold first, then lines to write on; the rest alike."""
    printed = [width_of(one, bold=True) + 0.5 if one else 0.0 for one in words]
    if (left := room - sum(printed)) < 0:
        return [one * room / sum(printed) for one in printed]
    pen = min(LEAST_PEN_MM, left / max(1, printed.count(0.0)))
    over = (left - pen * printed.count(0.0)) / len(words)
    return [(one or pen) + over for one in printed]


def columns_of(system: System) -> tuple[tuple[str, str, float], ...]:
    """Return the columns: two lines of heading, and the width; they make up the box."""
    length, liquid = unit_sign(Kind.LENGTH, system), unit_sign(Kind.LIQUID, system)
    density = unit_sign(Kind.DENSITY, system)
    return (
        ("load", "no.", 9.5), ("ticket", "", 20.0), ("batched", "", 13.0), ("arrived", "", 12.5),
        ("disch.", "from", 12.0), ("", "to", 11.0), ("water", liquid, 11.0), ("by", "d f t", 10.0),
        ("look", "d e r", 10.0), ("density", density, 14.0), ("lane", "", 9.0),
        ("from", length, 11.0), ("to", length, 11.0), ("cover", "1st", 14.0),
        ("cover", "last", 14.0),
    )  # fmt: skip


def _loads(ink: Ink, y: float, content: LoadContent, rows: tuple[LoadRowWords, ...]) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    bottom, x = y + HEAD_MM + LOADS_MM, 0.0
    cells = [_cells(row) for row in rows]
    for nth, (first, second, width) in enumerate(columns_of(content.heading.system)):
        if width_of(first) > width - 0.6 or width_of(second) > width - 0.6:
            raise SheetError(f"The column “{first} {second}” is too narrow for its heading.")
        ink.text(x + 1.0, y + 3.8, first)
        ink.text(x + 1.0, y + 7.8, second)
        if nth:
            ink.line(x, y, x, bottom)
        for at, row in enumerate(cells):
            foot = y + HEAD_MM + (at + 1) * ROW_MM - 2.4
            ink.text_within(x + 1.0, foot, row[nth], width - 1.3)
        x += width
    for nth in range(ROWS + 1):
        ink.rule(y + HEAD_MM + nth * ROW_MM, BOX_WIDTH_MM)


def _cells(row: LoadRowWords) -> tuple[str, ...]:
    return (
        row.load, row.ticket, row.batched, row.arrived, *row.discharged, row.water, row.water_by,
        row.look, row.density, row.lane, *row.limits, *row.covered,
    )  # fmt: skip


def _weather(ink: Ink, y: float, system: System) -> None:
    """Six readings: at least hourly, and at a load where it changes."""
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    warm, wind = unit_sign(Kind.TEMPERATURE, system), unit_sign(Kind.SPEED, system)
    half = BOX_WIDTH_MM / 2
    for nth in range(6):
        row = Row(ink, half * (nth % 2), y + nth // 2 * ROW_MM, half)
        row.clock(10.0).word(f"air {warm}").pen(7).word("RH %").pen(7).word(wind).pen(8)
        row.word("concrete").pen_to_end()
    ink.line(half, y, half, y + WEATHER_MM)


def _help(ink: Ink, y: float, system: System) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    words = HELP.format(length=unit_sign(Kind.LENGTH, system))
    draw_lines(ink, y + 0.4, (words, PLACING), (3, 3))


def draw_lines(ink: Ink, y: float, texts: tuple[str, ...], lines: tuple[int, ...]) -> None:
    """Write texts across the box in so many lines each. SheetError where one has no room."""
    width, at = BOX_WIDTH_MM - 2 * MARGIN_MM, y
    for text, count in zip(texts, lines, strict=True):
        found = broken(text, width, lines=count)
        if " ".join(found) != " ".join(text.split()):
            raise SheetError("The words at the foot of the sheet have no room.")
        for line in found:
            at += LINE_MM
            ink.text(MARGIN_MM, at, line)
