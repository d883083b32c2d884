"""The two tables of the inspection sheet: defects looked for again, and new ones."""

from collections.abc import Sequence

from registry.plan import Layout
from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.contents import KnownDefect
from registry.sheets.ink import THICK_MM, Ink, broken, width_of
from registry.sheets.rows import ROW_MM, table
from registry.units import System

HEAD_MM = 4.0
KNOWN_ROWS, NEW_ROWS = 6, 5
KNOWN_MM = HEAD_MM + KNOWN_ROWS * ROW_MM
NEW_MM = HEAD_MM + NEW_ROWS * ROW_MM
_KNOWN_COLUMNS = (
    ("no.", 20.5),
    ("place", 32.5),
    ("kind", 20.0),
    ("last seen", 37.0),
    ("found, cl: cannot look", 32.5),
    ("now", 14.0),
    ("L M H", 14.0),
    ("photo", 11.5),
)
_SMALL = {System.INCH_POUND: "in", System.SI: "mm"}


def draw_known(
    ink: Ink, y: float, known: Sequence[KnownDefect], rows: int, *, more_on: str = ""
) -> None:
    """The table of known defects with so many rows; the left half is printed, the rest asked.

    more_on: where the others stand that have no row here.
    """
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    columns = _KNOWN_COLUMNS
    starts = table(ink, y, columns, rows, head_mm=HEAD_MM, title="KNOWN")
    if more_on:
        at = starts[3] + 2 + width_of("last seen")
        ink.text_within(at, y + HEAD_MM - 0.8, more_on, starts[4] - at - 0.5)
    widths = [width for _, width in columns]
    for nth in range(rows):
        top = y + HEAD_MM + nth * ROW_MM
        foot = top + 5.4
        if nth < len(known):
            defect = known[nth]
            words = (str(defect.number), defect.place, defect.kind, defect.last_seen)
            for start, width, text in zip(starts, widths, words, strict=False):
                _cell(ink, start, top, width, text)
        _choices(ink, starts[4], foot, widths[4], ("y", "n", "cl"))
        _choices(ink, starts[6], foot, widths[6], ("L", "M", "H"))


def _cell(ink: Ink, x: float, top: float, width: float, text: str) -> None:
    """Printed words in a cell: one line, or two where one is too long."""
    lines = broken(text, width - 2.0, lines=2)
    if len(lines) == 1:
        ink.text(x + 1.2, top + 5.4, lines[0])
        return
    for nth, line in enumerate(lines):  # none where there are no words
        ink.text(x + 1.2, top + 3.5 + nth * 3.6, line)


def _choices(ink: Ink, x: float, foot: float, width: float, words: tuple[str, ...]) -> None:
    """Words to put a ring round, evenly in a cell."""
    step = width / len(words)
    for nth, word in enumerate(words):
        ink.text(x + (nth + 0.5) * step - width_of(word) / 2, foot, word)


def draw_new(ink: Ink, y: float, layout: Layout | None, system: System) -> None:
    """The table of new defects; its columns for the place follow the kind of plan."""
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    columns = (
        *_place_columns(layout),
        ("kind", 27.0),
        ("extent, unit", 26.5),
        (f"lip, width, depth {_SMALL[system]}", 34.0),
        ("L M H", 14.0),
        ("photo", 11.5),
    )
    starts = table(ink, y, columns, NEW_ROWS, head_mm=HEAD_MM, title="NEW")
    for nth in range(NEW_ROWS):
        foot = y + HEAD_MM + nth * ROW_MM + 5.4
        _choices(ink, starts[6], foot, columns[6][1], ("L", "M", "H"))


def _place_columns(layout: Layout | None) -> tuple[tuple[str, float], ...]:
    if layout is not None and not layout.panels:
        if layout.baseline is not None:
            return (("station from", 29.0), ("to", 17.0), ("L, R from-to", 23.0))
        return (("g(right,up)", 27.0), ("R from-to", 21.0), ("U from-to", 21.0))
    return (("panel", 21.0), ("R from-to", 24.0), ("U from-to", 24.0))
