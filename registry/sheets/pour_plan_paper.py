"""The pour plan on paper: limits, stop rule, loads in order, evaporation by the hour.

It is made to be read on the day, not filled in: it carries no sheet number. The load sheet does.
"""

from dataclasses import dataclass
from functools import partial

from registry.gathering.claim_words import PLACING
from registry.sheets.binding import bind
from registry.sheets.box import BOX_WIDTH_MM, Paper
from registry.sheets.contents import DrawnSheet, Heading, SheetMark
from registry.sheets.flowing import Column, Flow, Said, Stroke, Table
from registry.sheets.footer import draw_footer
from registry.sheets.ink import HEADING_PT, Ink
from registry.sheets.rows import MARGIN_MM

NOT_NUMBERED = "none (plan of a day)"
GUIDE = (
    "A forecast is a guide, and real evaporation can lie 40 % off: the meter at the surface on the "
    "day decides, and so do contract and mix supplier. Loads fill the lanes one after another; "
    "between two hours evaporation is taken to run straight."
)
LOADS = (
    Column("load", 12.0, right=True), Column("order", 22.0, right=True),
    Column("batch at", 20.0, right=True), Column("discharge from", 26.0, right=True),
    Column("to", 16.0, right=True), Column("covered by", 20.0, right=True), Column("where", 62.5),
)  # fmt: skip
HOURS = (
    Column("clock", 18.0, right=True), Column("air", 20.0, right=True),
    Column("humidity", 20.0, right=True), Column("wind", 24.0, right=True),
    Column("concrete", 22.0, right=True), Column("evaporation", 44.0, right=True),
    Column("", 30.5),
)  # fmt: skip


@dataclass(frozen=True)
class PourPaper:
    """A pour plan in words. rule: the stop rule. loads, hours: cells in the order of the columns.

    reason  why there is no plan of loads, where there is none
    """

    heading: Heading
    rule: str
    facts: tuple[str, ...]
    doubts: tuple[str, ...]
    loads: tuple[tuple[str, ...], ...]
    hours: tuple[tuple[str, ...], ...]
    reason: str = ""


def draw_pour_plan(content: PourPaper, address: str, paper: Paper) -> DrawnSheet:
    """Draw it; the square of dots opens `address`. A day of few loads takes one page."""
    flow = Flow()
    flow.new_page()
    flow.draw(9.0, lambda ink, y: _rule(ink, y, content.rule))
    for fact in content.facts:
        flow.add(Said(fact))
    for doubt in content.doubts:
        flow.add(Said(doubt, "Look at this before the day"))
    empty = content.reason or "No load is planned."
    flow.add(Table("Loads in their order", LOADS, content.loads, empty=empty))
    flow.add(Table("Forecast", HOURS, content.hours, empty="No forecast was given."))
    flow.add(Said(GUIDE))
    flow.add(Said(PLACING))
    pages = [partial(_page, strokes=strokes) for strokes in flow.pages]
    return bind(content.heading, SheetMark(NOT_NUMBERED, address), paper, pages)


def _rule(ink: Ink, y: float, words: str) -> None:
    width = BOX_WIDTH_MM - 2 * MARGIN_MM
    ink.text_within(MARGIN_MM, y + 6.0, words, width, size=HEADING_PT, bold=True)


def _page(ink: Ink, *, strokes: list[Stroke]) -> None:
    for stroke in strokes:
        stroke(ink)
    draw_footer(ink)
