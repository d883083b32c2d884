"""The foot of every page, 8 mm: how to write empties and errors, and who copied it in."""

from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, SheetError
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, broken, width_of
from registry.sheets.rows import MARGIN_MM, Row

FOOTER_MM = 8.0
NOTE = (
    "Write nk = not known, nm = not measured, na = does not apply. "
    "One line through errors, initials. Times are clock times here."
)
_NOTE_WIDTH = 110.0


def draw_footer(ink: Ink) -> None:
    """Draw it along the lower edge of the box."""
    top = BOX_HEIGHT_MM - FOOTER_MM
    ink.rule(top, BOX_WIDTH_MM, THICK_MM)
    draw_note(ink, MARGIN_MM, top + 0.2, _NOTE_WIDTH, lines=2)
    row = Row(ink, _NOTE_WIDTH + 2, top, BOX_WIDTH_MM - _NOTE_WIDTH - 2)
    row.word("copied in by").pen(20).word("on").pen_to_end()


def draw_note(ink: Ink, x: float, y: float, width: float, *, lines: int) -> None:
    """Write the note in a width, its upper edge at y. It is never shortened."""
    if width_of(NOTE) > width * lines:
        raise SheetError("The note at the foot has no room.")
    for nth, line in enumerate(broken(NOTE, width, lines=lines)):
        ink.text(x, y + (nth + 1) * LINE_MM - 0.4, line)
