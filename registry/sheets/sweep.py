"""The sweep work order: one page, filled from an order or blank.

What is known is printed; what is asked is empty. The heights of its blocks make up the box.
"""

from functools import partial

from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import Drawing, DrawingError, Text
from registry.sheets.binding import bind
from registry.sheets.blank_plan import blank_plan
from registry.sheets.box import BOX_WIDTH_MM, Paper, SheetError, refuse_unless_full
from registry.sheets.contents import DrawnSheet, SheetMark, SweepContent, SweepOrder
from registry.sheets.footer import FOOTER_MM, draw_footer
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import LINE_MM, THICK_MM, Ink, broken, width_of
from registry.sheets.rows import MARGIN_MM, ROW_MM, Row
from registry.sheets.sweep_done import DONE_MM, draw_done

ORDER_MM, SITE_MM, WORK_MM = 2 * ROW_MM, 5 * ROW_MM, 50.0
BEFORE_MM, NOT_DONE_MM, AFTER_MM, SIGNED_MM = 20.0, ROW_MM, 20.0, 12.0
HEIGHTS_MM = (
    HEADER_MM, ORDER_MM, SITE_MM, WORK_MM, BEFORE_MM, DONE_MM, NOT_DONE_MM, AFTER_MM, SIGNED_MM,
    FOOTER_MM,
)  # fmt: skip
_PICTURE_MM = (98.0, 41.0)
_CELLS, _ASKED = (14, 4), (("datum", 30), ("up, toward", 26))
_WORDS_X_MM = 101.0
DO_NOT = ("wire broom", "closing agents", "water to storm drain")
# Usual care, common practice without a source; local rules and the site's own come first.
CAUTION = (
    "Take care: water under pressure cuts, keep people off; wet or collect dust (silica); cones "
    "and high-visibility clothing in traffic; wash water never to a storm drain. Local codes first."
)


def draw_sweep(content: SweepContent, mark: SheetMark, paper: Paper) -> DrawnSheet:
    """Draw the sheet. Raises SheetError where its blocks do not make up the box."""
    refuse_unless_full(HEIGHTS_MM)
    return bind(content.heading, mark, paper, [partial(_page, content=content)])


def _page(ink: Ink, *, content: SweepContent) -> None:
    order, y = content.order, HEADER_MM
    _order(ink, y, order)
    y += ORDER_MM
    _site(ink, y, order)
    y += SITE_MM
    _work(ink, y, content)
    y += WORK_MM
    _before(ink, y, order)
    y += BEFORE_MM
    draw_done(ink, y, content.heading.system)
    y += DONE_MM
    _not_done(ink, y)
    y += NOT_DONE_MM
    _after(ink, y, order)
    y += AFTER_MM
    _signed(ink, y)
    draw_footer(ink)


def _order(ink: Ink, y: float, order: SweepOrder) -> None:
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("order no.").printed(order.number, 26, bold=True).word("asked by")
    row.printed(order.asked_by, 43).word("for the day").printed(order.dated_for, 22, bold=True)
    row.word("crew").printed(order.crew, row.end - row.at)
    row = Row(ink, 0, y + ROW_MM, BOX_WIDTH_MM)
    row.word("approved by").printed(order.approved_by, 40).word("on")
    row.printed(order.approved_on, 22).word("price agreed, how (area, hour, minimum)")
    row.printed(order.price, row.end - row.at)


def _site(ink: Ink, y: float, order: SweepOrder) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    half = BOX_WIDTH_MM / 2
    lines: tuple[tuple[tuple[str, str, float], ...], ...] = (
        (("SITE entrance", order.entrance, half),),
        (("contact, phone", order.contact, half),),
        (("window, days and hours", order.window, half),),
        (("noise hours", order.noise, half),),
        (("keys, gate", order.gate, half),),
        (("height", order.height, half / 2), ("axle", order.axle, half / 2)),
        (("cars out by", order.cars_out_by, 42.0), ("notice posted", order.notice, half - 42)),
        (("water point, permit", order.water_point, half),),
        (("dump, hours", order.dump, half),),
        (("decant", order.decant, half),),
    )
    for nth, fields in enumerate(lines):
        x = half * (nth % 2)
        for label, words, width in fields:
            row = Row(ink, x, y + nth // 2 * ROW_MM, width)
            row.word(label, bold=label.startswith("SITE")).printed(words, row.end - row.at)
            x += width


def _work(ink: Ink, y: float, content: SweepContent) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    order, width = content.order, BOX_WIDTH_MM - _WORDS_X_MM
    ink.picture(_picture(content), 1.3, y + 0.6)
    row = Row(ink, _WORDS_X_MM, y, width)
    row.word("method", bold=True).printed(order.method, row.end - row.at, bold=True)
    row = Row(ink, _WORDS_X_MM, y + ROW_MM, width)
    row.word("rows").printed(order.rows, row.end - row.at)
    row = Row(ink, _WORDS_X_MM, y + 2 * ROW_MM, width)
    row.word("passes").printed(order.passes, 10).word("pattern")
    row.printed(order.pattern, row.end - row.at)
    row = Row(ink, _WORDS_X_MM, y + 3 * ROW_MM, width)
    row.word("must be dry").tick("y", is_ticked=order.must_be_dry == "yes")
    row.tick("n", is_ticked=order.must_be_dry == "no").word("not below")
    row.printed(order.lowest, row.end - row.at)
    forbidden = [word.removeprefix("no ") for word in order.do_not] or list(DO_NOT)
    words = f"DO NOT: {', '.join(forbidden)}. Stop if stone comes loose."
    for nth, line in enumerate(broken(words, width - 2 * MARGIN_MM, lines=2, bold=True)):
        at = y + 4 * ROW_MM + 3.4 + nth * LINE_MM
        ink.text(_WORDS_X_MM + MARGIN_MM, at, line, bold=True)
    _caution(ink, y + WORK_MM - 2 * LINE_MM - 0.8)


def _caution(ink: Ink, y: float) -> None:
    width = BOX_WIDTH_MM - 2 * MARGIN_MM
    if width_of(CAUTION) > 2 * width:
        raise SheetError("The cautions have no room.")
    for nth, line in enumerate(broken(CAUTION, width, lines=2)):
        ink.text(MARGIN_MM, y + (nth + 1) * LINE_MM - 0.4, line)


def _picture(content: SweepContent) -> Drawing:
    if content.layout is None:
        return blank_plan(_PICTURE_MM, cells=_CELLS, asked=_ASKED)
    try:
        return plan_picture(
            content.layout,
            on=content.heading.printed_on,
            size_mm=_PICTURE_MM,
            system=content.heading.system,
            swept=content.swept,
            is_small=True,
        )
    except DrawingError as fault:
        words = (f"No picture here: {fault.message}", "The rows stand in words beside.")
        lines = tuple(Text((1.0, 5.0 + 4.0 * nth), line) for nth, line in enumerate(words))
        return Drawing(*_PICTURE_MM, lines, "No picture of the plan")


def _before(ink: Ink, y: float, order: SweepOrder) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y + 2.0, BOX_WIDTH_MM)
    row.word("BEFORE", bold=True).word("spots").printed(order.before_spots, 62)
    row.word("before-test ids or “none”").printed(order.before_tests, row.end - row.at)
    row = Row(ink, 0, y + 2.0 + ROW_MM, BOX_WIDTH_MM)
    row.word("photo before no.").pen_to_end()


def _not_done(ink: Ink, y: float) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y, BOX_WIDTH_MM)
    row.word("NOT DONE", bold=True).tick("turned away").tick("weather").tick("machine")
    row.word("who").pen(38).word("at").clock().word("call-out").tick("y").tick("n")


def _after(ink: Ink, y: float, order: SweepOrder) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y + 2.0, BOX_WIDTH_MM)
    row.word("AFTER", bold=True).word("due by").printed(order.after_due, 22)
    row.word("same spots").printed(order.after_spots, 50).word("test ids").pen_to_end()
    row = Row(ink, 0, y + 2.0 + ROW_MM, BOX_WIDTH_MM)
    row.word("gain").pen(34).tick("accepted").tick("redo").tick("part").word("by").pen(38)
    row.word("on").pen_to_end()


def _signed(ink: Ink, y: float) -> None:
    ink.rule(y, BOX_WIDTH_MM, THICK_MM)
    row = Row(ink, 0, y + 2.0, BOX_WIDTH_MM)
    row.word("operator").pen(46).word("for the site").pen(46).word("invoice no.").pen_to_end()
