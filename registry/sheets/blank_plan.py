"""The plan of a sheet that has none yet: 20 x 12 cells of 6 mm and places for the datum."""

from registry.drawing.lettering import SMALLEST_PT, text_height_mm
from registry.drawing.primitives import Anchor, Drawing, Item, Line, Mark, Symbol, Text
from registry.plan.panels import letter_of

ACROSS, DOWN = 20, 12
CELL_MM = 6.0
_LEFT_MM, _TOP_MM = 5.6, 3.9


ASKED = (("datum", 28), ("ties", 34), ("check", 24))


def blank_plan(
    size_mm: tuple[float, float],
    *,
    cells: tuple[int, int] = (ACROSS, DOWN),
    asked: tuple[tuple[str, float], ...] = ASKED,
) -> Drawing:
    """Cells with letters and numbers on both sides, and below them what a plan needs first.

    cells: across and down. asked: words with the width to write in, mm.
    """
    across, down = cells
    width, height = size_mm
    right, bottom = _LEFT_MM + across * CELL_MM, _TOP_MM + down * CELL_MM
    items: list[Item] = []
    for nth in range(across + 1):
        x = _LEFT_MM + nth * CELL_MM
        items.append(Line((x, _TOP_MM), (x, bottom)))
    for nth in range(down + 1):
        y = _TOP_MM + nth * CELL_MM
        items.append(Line((_LEFT_MM, y), (right, y)))
    middles = [(nth + 0.5) * CELL_MM for nth in range(across)]
    for y in (_TOP_MM - 2.0, bottom + 2.0):
        items += [_centred(_LEFT_MM + at, y, letter_of(nth)) for nth, at in enumerate(middles)]
    for x in (_LEFT_MM - 2.9, right + 2.8):
        items += [_centred(x, bottom - middles[nth], str(nth + 1)) for nth in range(down)]
    foot = height - 1.4
    items.append(Mark((2.4, foot - 1.2), Symbol.DATUM, 3.0))
    items.extend(_asked(5.0, foot, asked, width))
    return Drawing(width, height, tuple(items), "No plan yet", "Empty cells to draw a plan in.")


def _centred(x: float, y: float, text: str) -> Text:
    return Text((x, y + text_height_mm() / 2), text, SMALLEST_PT, Anchor.MIDDLE, bold=True)


def _asked(
    x: float, foot: float, wanted: tuple[tuple[str, float], ...], width: float
) -> list[Item]:
    """Words, each with a line to write on behind it."""
    items: list[Item] = []
    for nth, (word, room) in enumerate(wanted):
        items.append(Text((x, foot), word))
        end = width if nth == len(wanted) - 1 else x + 10.0 + room
        items.append(Line((x + 10.5, foot + 0.6), (end, foot + 0.6)))
        x += 12.0 + room
    return items
