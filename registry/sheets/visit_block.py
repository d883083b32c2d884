"""The head of a visit on the inspection sheet, 24 mm: when, who, why, in what weather."""

from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.ink import Ink
from registry.sheets.rows import ROW_MM, Row
from registry.units import Kind, System, unit_sign

VISIT_MM = 3 * ROW_MM
SURFACES = ("dry", "damp", "wet", "frost", "snow")
WHY = ("spring", "autumn", "storm", "complaint", "warranty", "sale", "audit")


def draw_visit(ink: Ink, y: float, system: System) -> None:
    """Draw the three rows."""
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("date").comb("####-##-##").word("from").clock().word("to").clock()
    row.word("by").pen(34).word("with").pen_to_end()
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("why")
    for reason in WHY:
        row.tick(reason)
    row.pen(22).word("weather").pen_to_end()
    row = Row(ink, 0, y + 2 * ROW_MM, BOX_WIDTH_MM)
    row.word("air").pen(8).word(unit_sign(Kind.TEMPERATURE, system)).gap(1)
    for surface in SURFACES:
        row.tick(surface)
    row.tick("low sun").gap(0.6).label("rain", "ended").pen(20).word("at").clock()
    row.word("fell").pen(7).word(f"{unit_sign(Kind.SMALL_LENGTH, system)},").pen(5).word("h")
