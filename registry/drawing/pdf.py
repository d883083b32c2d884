"""A drawing on a reportlab canvas: black on white, with the same lines and words as the page."""

from functools import lru_cache
from pathlib import Path

from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from registry.drawing.primitives import (
    WEIGHT_MM,
    Anchor,
    Area,
    Circle,
    Drawing,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Polyline,
    Role,
    Strokes,
    Text,
    Weight,
)
from registry.drawing.symbols import lines_of

FONT, FONT_BOLD = "DejaVuSans", "DejaVuSans-Bold"
MM = 72 / 25.4
_FONTS = Path(__file__).parent / "fonts"


@lru_cache(maxsize=1)
def register_fonts() -> tuple[str, str]:
    """Make the plain and the bold letters known to reportlab; answers their names.

    The built-in PDF fonts lack signs this record needs (≥, narrow blank), so ours travel along.
    """
    for name in (FONT, FONT_BOLD):
        registerFont(TTFont(name, str(_FONTS / f"{name}.ttf")))
    return (FONT, FONT_BOLD)


def draw_on_canvas(drawing: Drawing, canvas: Canvas, x_mm: float, y_mm: float) -> None:
    """Draw at true size; (x_mm, y_mm) is the drawing's lower left corner from the page's."""
    register_fonts()
    canvas.saveState()
    canvas.translate(x_mm * MM, y_mm * MM)
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for item in drawing.items:
        _draw(item, canvas, drawing.height_mm)
    canvas.restoreState()


def _draw(item: Item, canvas: Canvas, height_mm: float) -> None:
    match item:
        case Line():
            _trace(canvas, (item.start, item.end), height_mm, item.role, item.weight, item.dash_mm)
        case Polyline():
            _trace(canvas, item.points, height_mm, item.role, item.weight, item.dash_mm)
        case Strokes():
            _strokes(canvas, item, height_mm)
        case Area():
            _area(canvas, item, height_mm)
        case Circle():
            _circle(canvas, item, height_mm)
        case Text():
            _text(canvas, item, height_mm)
        case Mark():
            for part in lines_of(item):
                _draw(part, canvas, height_mm)
        case Group():
            for member in item.items:
                _draw(member, canvas, height_mm)


def _pen(canvas: Canvas, role: Role, weight: Weight, dash_mm: tuple[float, ...] = ()) -> None:
    """Black, or white for lines in the colour of the paper; pale lines are hairlines."""
    canvas.setStrokeGray(1 if role == Role.PAPER else 0)
    width = WEIGHT_MM[Weight.HAIR] if role == Role.PALE else WEIGHT_MM[weight]
    canvas.setLineWidth(width * MM)
    canvas.setDash([part * MM for part in dash_mm])


def _paint(canvas: Canvas, fill: Role | None, faint: bool) -> bool:
    """Set the fill and say whether there is one: no tints and no grey on paper."""
    if fill is None or faint or fill == Role.PALE:
        return False
    canvas.setFillGray(1 if fill == Role.PAPER else 0)
    return True


def _trace(
    canvas: Canvas,
    points: tuple[Point, ...],
    height_mm: float,
    role: Role,
    weight: Weight,
    dash_mm: tuple[float, ...] = (),
) -> None:
    _pen(canvas, role, weight, dash_mm)
    path = canvas.beginPath()
    _add(path, points, height_mm)
    canvas.drawPath(path, stroke=1, fill=0)


def _add(path, points: tuple[Point, ...], height_mm: float) -> None:  # type: ignore[no-untyped-def]
    for index, (x, y) in enumerate(points):
        move = path.lineTo if index else path.moveTo
        move(x * MM, (height_mm - y) * MM)


def _strokes(canvas: Canvas, item: Strokes, height_mm: float) -> None:
    if not item.lines:
        return
    _pen(canvas, item.role, item.weight)
    path = canvas.beginPath()
    for line in item.lines:
        _add(path, line, height_mm)
    canvas.drawPath(path, stroke=1, fill=0)


def _area(canvas: Canvas, item: Area, height_mm: float) -> None:
    filled = _paint(canvas, item.fill, item.faint)
    if item.edge is not None:
        _pen(canvas, item.edge, item.weight, item.dash_mm)
    path = canvas.beginPath()
    _add(path, item.points, height_mm)
    path.close()
    canvas.drawPath(path, stroke=int(item.edge is not None), fill=int(filled))


def _circle(canvas: Canvas, item: Circle, height_mm: float) -> None:
    filled = _paint(canvas, item.fill, False)
    if item.edge is not None:
        _pen(canvas, item.edge, item.weight)
    canvas.circle(
        item.centre[0] * MM,
        (height_mm - item.centre[1]) * MM,
        item.radius_mm * MM,
        stroke=int(item.edge is not None),
        fill=int(filled),
    )


def _text(canvas: Canvas, item: Text, height_mm: float) -> None:
    canvas.saveState()
    canvas.translate(item.at[0] * MM, (height_mm - item.at[1]) * MM)
    canvas.rotate(-item.turn_deg)
    canvas.setFillGray(0)
    canvas.setFont(FONT_BOLD if item.bold else FONT, item.size_pt)
    draw = {
        Anchor.START: canvas.drawString,
        Anchor.MIDDLE: canvas.drawCentredString,
        Anchor.END: canvas.drawRightString,
    }[item.anchor]
    draw(0, 0, item.text)
    canvas.restoreState()
