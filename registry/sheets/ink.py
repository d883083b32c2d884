"""Lines, letters and boxes to write in, on one page of a sheet.

Black on white; rules of 0.7 and 0.25 mm; letters of 9 pt or more. Letters are set a little narrower
than drawn, near to the condensed cut of the face, so that a sheet holds its words.
"""

from reportlab.graphics import renderPDF
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing as Shapes
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from registry.drawing.pdf import FONT, FONT_BOLD, draw_on_canvas, register_fonts
from registry.drawing.primitives import Drawing
from registry.sheets.box import MM, Paper, SheetError

THICK_MM = 0.7
THIN_MM = 0.25
TEXT_PT = 9.0
HEADING_PT = 11.0
SET_WIDTH = 0.88
LINE_MM = 3.6  # from one line of 9 pt to the next
TICK_MM = 4.0
DIGIT_MM = 6.0
SIGN_MM = 2.6  # a point, a dash or a colon between two combs


class Ink:
    """A page that is being drawn. Positions are mm in the box; a text's y is its foot."""

    def __init__(self, canvas: Canvas, paper: Paper) -> None:
        register_fonts()
        self.canvas = canvas
        self.paper = paper

    def line(self, x1: float, y1: float, x2: float, y2: float, weight_mm: float = THIN_MM) -> None:
        """A straight rule."""
        self.canvas.setLineWidth(weight_mm * MM)
        self.canvas.line(*self.paper.point(x1, y1), *self.paper.point(x2, y2))

    def rule(self, y: float, width: float, weight_mm: float = THIN_MM, x: float = 0.0) -> None:
        """A rule across, kept inside the box by half its weight at both ends."""
        self.line(x + weight_mm / 2, y, x + width - weight_mm / 2, y, weight_mm)

    def frame(
        self, x: float, y: float, width: float, height: float, weight_mm: float = THIN_MM
    ) -> None:
        """A rectangle whose outer edge is exactly as given."""
        left, bottom = self.paper.point(x + weight_mm / 2, y + height - weight_mm / 2)
        self.canvas.setLineWidth(weight_mm * MM)
        self.canvas.rect(
            left, bottom, (width - weight_mm) * MM, (height - weight_mm) * MM, stroke=1, fill=0
        )

    def text(
        self, x: float, y: float, words: str, *, size: float = TEXT_PT, bold: bool = False
    ) -> float:
        """Write one line and return where it ends, mm."""
        if size < TEXT_PT:
            raise SheetError("Nothing on a sheet is smaller than 9 pt.")
        written = self.canvas.beginText(*self.paper.point(x, y))
        written.setFont(FONT_BOLD if bold else FONT, size)
        written.setHorizScale(SET_WIDTH * 100)
        written.textOut(words)
        written.setHorizScale(100)
        self.canvas.drawText(written)
        return x + width_of(words, size=size, bold=bold)

    def text_within(
        self,
        x: float,
        y: float,
        words: str,
        width: float,
        *,
        size: float = TEXT_PT,
        bold: bool = False,
    ) -> float:
        """Write one line in a width; where it is too long it visibly ends in "…"."""
        return self.text(x, y, shortened(words, width, size=size, bold=bold), size=size, bold=bold)

    def tick(self, x: float, y: float, *, is_ticked: bool = False) -> None:
        """A box of 4 mm to tick, its upper left corner there; a printed tick is a cross."""
        self.frame(x, y, TICK_MM, TICK_MM)
        if is_ticked:
            near, far = 0.8, TICK_MM - 0.8
            self.line(x + near, y + near, x + far, y + far, THICK_MM)
            self.line(x + near, y + far, x + far, y + near, THICK_MM)

    def qr(self, x: float, y: float, side: float, address: str) -> None:
        """A square of dots that opens an address, its white margin included in the side."""
        widget = QrCodeWidget(address, barLevel="M")
        left, bottom, right, top = widget.getBounds()
        scale = side * MM / (right - left)
        shapes = Shapes(
            right - left, top - bottom, transform=(scale, 0, 0, scale, -left * scale, 0)
        )
        shapes.add(widget)
        renderPDF.draw(shapes, self.canvas, *self.paper.point(x, y + side))

    def picture(self, drawing: Drawing, x: float, y: float) -> None:
        """Put a drawing at its true size, its upper left corner there."""
        left, foot = self.paper.point(x, y + drawing.height_mm)
        draw_on_canvas(drawing, self.canvas, left / MM, foot / MM)
        self.canvas.setDash()
        self.canvas.setFillGray(0)
        self.canvas.setStrokeGray(0)


def width_of(words: str, *, size: float = TEXT_PT, bold: bool = False) -> float:
    """Width of one line as set on a sheet, mm."""
    register_fonts()
    return stringWidth(words, FONT_BOLD if bold else FONT, size) * SET_WIDTH / MM


def shortened(words: str, width: float, *, size: float = TEXT_PT, bold: bool = False) -> str:
    """The words, or as many signs of them as fit in a width with "…" behind."""
    words = " ".join(words.split())
    if width_of(words, size=size, bold=bold) <= width:
        return words
    while words and width_of(f"{words.rstrip()}…", size=size, bold=bold) > width:
        words = words[:-1]
    return f"{words.rstrip()}…" if words else ""


def broken(
    words: str, width: float, *, lines: int, size: float = TEXT_PT, bold: bool = False
) -> tuple[str, ...]:
    """Words broken at blanks into at most so many lines; the last is shortened where it must."""
    found: list[str] = []
    rest = words.split()
    while rest and len(found) < lines - 1:
        count = len(rest)
        while count > 1 and width_of(" ".join(rest[:count]), size=size, bold=bold) > width:
            count -= 1
        found.append(shortened(" ".join(rest[:count]), width, size=size, bold=bold))
        rest = rest[count:]
    if rest:
        found.append(shortened(" ".join(rest), width, size=size, bold=bold))
    return tuple(found)
