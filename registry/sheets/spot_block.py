"""One spot of the infiltration test sheet, 56 mm: seven rows of 8 mm."""

from registry.measuring.reading import LARGE_POUR, PREWET_LIMIT_S, SMALL_POUR
from registry.sheets.box import BOX_WIDTH_MM
from registry.sheets.contents import PlannedSpot
from registry.sheets.ink import THICK_MM, Ink, width_of
from registry.sheets.rows import ROW_MM, Row
from registry.units import Kind, System, unit_sign

SPOT_MM = 7 * ROW_MM
_LEFT_MM = 60.0
_NAME_MM = 24.0  # of a spot; the rest of its row is for its place
_RIGHT_MM = BOX_WIDTH_MM - _LEFT_MM
_US, _SI = System.INCH_POUND, System.SI
POUR_WORDS = (
    f"under {PREWET_LIMIT_S:g} s: {LARGE_POUR[_US]:g} lb ({LARGE_POUR[_SI]:g} kg), "
    f"else {SMALL_POUR[_US]:g} lb ({SMALL_POUR[_SI]:g} kg)"
)


def draw_spot(ink: Ink, y: float, spot: PlannedSpot | None, system: System) -> None:
    """Draw the block; None leaves the spot's own words to the pen."""
    mass = unit_sign(Kind.MASS, system)
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    _spot(ink, y, spot or PlannedSpot(name=""))
    ink.line(_LEFT_MM, y, _LEFT_MM, y + 4 * ROW_MM)
    _first_run(ink, y, mass)
    _ended(ink, y + 4 * ROW_MM, mass)
    ink.rule(y + 5 * ROW_MM, BOX_WIDTH_MM)
    _second_run(ink, y + 5 * ROW_MM, mass)
    ink.rule(y + 6 * ROW_MM, BOX_WIDTH_MM)
    _rate(ink, y + 6 * ROW_MM)


def _spot(ink: Ink, y: float, spot: PlannedSpot) -> None:
    row = Row(ink, 0, y, _LEFT_MM)
    room = min(max(width_of(spot.name, bold=True), 12.0), _NAME_MM)
    row.word("spot", bold=True).printed(spot.name, room, bold=True)
    row.printed(spot.place, row.end - row.at)
    row = Row(ink, 0, y + ROW_MM, _LEFT_MM)
    row.word("place really used").pen_to_end()
    row = Row(ink, 0, y + 2 * ROW_MM, _LEFT_MM)
    row.word("stratum").printed(spot.stratum, row.end - row.at)
    row = Row(ink, 0, y + 3 * ROW_MM, _LEFT_MM)
    row.tick("dry").tick("damp").label("crack, joint", "in ring").tick("y").tick("n")


def _first_run(ink: Ink, y: float, mass: str) -> None:
    row = Row(ink, _LEFT_MM, y, _RIGHT_MM)
    row.word("run 1", bold=True).label("prewet", "water").comb("##.##").word(mass).gap(2)
    row.label("prewet", "time").comb("##").word("min").comb("##.#").word("s")
    row = Row(ink, _LEFT_MM, y + ROW_MM, _RIGHT_MM)
    row.word(POUR_WORDS).gap(1).word("start").comb("##:##")
    row = Row(ink, _LEFT_MM, y + 2 * ROW_MM, _RIGHT_MM)
    row.label("water", "poured").comb("##.##").word(mass).gap(2)
    row.word("time").comb("##").word("min").comb("##.#").word("s")
    row = Row(ink, _LEFT_MM, y + 3 * ROW_MM, _RIGHT_MM)
    row.word("and all in seconds").comb("####.#").word("s").gap(4).word("slope").pen(12).word("%")


def _ended(ink: Ink, y: float, mass: str) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("ended").tick("drained").tick("stopped at limit, water left").comb("##.##").word(mass)
    row.tick("too fast").tick("spoiled, why").pen_to_end()


def _second_run(ink: Ink, y: float, mass: str) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("run 2", bold=True).word("start").clock().gap(1).word("water").pen(12).word(mass)
    row.word("time").pen(8).word("min").pen(10).word("s =").pen(12).word("s")
    row.word("ended").tick("dr").tick("st, left").pen(10).tick("tf").tick("sp")


def _rate(ink: Ink, y: float) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("rate", bold=True).label("< or >", "if so").pen(26)
    for system in (_US, _SI):
        row.tick(unit_sign(Kind.RATE, system))
    row.gap(1).word("photo no.").pen(18).word("remark").pen_to_end()
