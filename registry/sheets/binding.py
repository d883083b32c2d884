"""Pages bound into one PDF: the same head on each, exact size, the same bytes each time."""

from collections.abc import Callable, Sequence
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, MM, Paper
from registry.sheets.contents import DrawnSheet, Heading, SheetMark
from registry.sheets.header import draw_header
from registry.sheets.ink import THICK_MM, Ink

Page = Callable[[Ink], None]
"""Draws everything of a page below its head."""


def bind(
    heading: Heading,
    mark: SheetMark,
    paper: Paper,
    pages: Sequence[Page],
    *,
    method: str | None = None,
) -> DrawnSheet:
    """Draw the pages and return the PDF. Nothing of the clock or the machine goes into it."""
    file = BytesIO()
    canvas = Canvas(
        file,
        pagesize=(paper.width_mm * MM, paper.height_mm * MM),
        pageCompression=1,
        invariant=1,
    )
    canvas.setTitle(f"{mark.number} {heading.title.lower()} {heading.pavement}".strip())
    canvas.setAuthor("Pavement registry")
    canvas.setViewerPreference("PrintScaling", "None")  # a printer must not fit it to the page
    for number, page in enumerate(pages, start=1):
        ink = Ink(canvas, paper)
        ink.frame(0, 0, BOX_WIDTH_MM, BOX_HEIGHT_MM, THICK_MM)
        draw_header(ink, heading, mark, number, len(pages), method=method)
        page(ink)
        canvas.showPage()
    canvas.save()
    return DrawnSheet(file.getvalue(), len(pages))
