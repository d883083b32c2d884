"""What was done, on the sweep work order: 60 mm, filled by pen alone."""

from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.ink import THICK_MM, Ink
from registry.sheets.rows import ROW_MM, Row
from registry.units import Kind, System, unit_sign

DONE_MM = 60.0
_TICKS_MM = 6.0


def draw_done(ink: Ink, y: float, system: System) -> None:
    """Draw the block: six rows to write in of 8 mm, two of ticks alone of 6 mm."""
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    for height, draw in (
        (ROW_MM, _times),
        (ROW_MM, _who),
        (_TICKS_MM, _ground),
        (ROW_MM, _missed),
        (ROW_MM, _area),
        (ROW_MM, _debris),
        (_TICKS_MM, _look),
        (ROW_MM, _water),
    ):
        draw(Row(ink, 0, y, BOX_WIDTH_MM, height), system)
        y += height


def _times(row: Row, system: System) -> None:
    row.word("DONE", bold=True).comb("####-##-##").word("arrive").clock().word("start").clock()
    row.word("end").clock().word("leave").clock()


def _who(row: Row, system: System) -> None:
    row.word("operator").pen(54).word("machine").pen_to_end()


def _ground(row: Row, system: System) -> None:
    row.word("surface")
    for surface in ("dry", "damp", "wet", "frost"):
        row.tick(surface)
    row.gap(3).word("rain in last 24 h").tick("y").tick("n")
    row.gap(3).word("debris").tick("wet").tick("dry")


def _missed(row: Row, system: System) -> None:
    row.word("rows not done and why", bold=True).pen_to_end()


def _area(row: Row, system: System) -> None:
    row.word("area done").pen(28).word(unit_sign(Kind.AREA, system)).word("speed").pen(14)
    row.word(unit_sign(Kind.SPEED, system)).word("passes per row").pen_to_end()


def _debris(row: Row, system: System) -> None:
    row.word("debris").pen(18).word(unit_sign(Kind.VOLUME, system)).word("or bags").pen(14)
    row.word("weight").pen(18).word(unit_sign(Kind.MASS, system)).word("spoil to").pen_to_end()


def _look(row: Row, system: System) -> None:
    row.word("look")
    for look in ("sand", "leaf", "mud", "joint stone"):
        row.tick(look)
    row.gap(3).word("stone or joint material in hopper").tick("y: stop").tick("n")


def _water(row: Row, system: System) -> None:
    row.word("water").pen(12).word(unit_sign(Kind.LIQUID, system)).word("went to").pen(30)
    row.word("damage").pen(34).word("photos after").pen_to_end()
