"""What a printed PDF really holds, read back with other programs than those that wrote it."""

from dataclasses import dataclass
from io import BytesIO

import numpy as np
import pypdfium2
from pypdf import PdfReader

MM = 72 / 25.4
DOTS_PER_MM = 12


@dataclass(frozen=True)
class Bounds:
    """Edges of what is not white, mm from the left and upper edge of the paper."""

    left: float
    top: float
    right: float
    bottom: float


def paper_mm(pdf: bytes) -> list[tuple[float, float]]:
    pages = PdfReader(BytesIO(pdf)).pages
    return [(float(p.mediabox.width) / MM, float(p.mediabox.height) / MM) for p in pages]


def stroke_count(pdf: bytes) -> int:
    """Count the straight strokes of all pages."""
    pages = PdfReader(BytesIO(pdf)).pages
    return sum(op == b"l" for page in pages for _, op in page.get_contents().operations)


def words(pdf: bytes) -> list[str]:
    """Text of each page, blanks evened out."""
    document = pypdfium2.PdfDocument(pdf)
    texts = [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    document.close()
    return texts


def picture(pdf: bytes, page: int) -> np.ndarray:
    """Grey picture of a page, rows from the top, 0 black to 255 white."""
    document = pypdfium2.PdfDocument(pdf)
    drawn = document[page].render(scale=DOTS_PER_MM / MM, grayscale=True).to_numpy()
    document.close()
    return drawn.reshape(drawn.shape[0], drawn.shape[1])


def bounds(pdf: bytes, page: int) -> Bounds:
    dark = picture(pdf, page) < 128
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    edges = (columns[0], rows[0], columns[-1] + 1, rows[-1] + 1)
    return Bounds(*(float(edge) / DOTS_PER_MM for edge in edges))


def letter_sizes(pdf: bytes) -> set[float]:
    """Every size of letters used, in points on the paper."""
    sizes: set[float] = set()

    def visit(text: str, cm: list, tm: list, font: object, size: float) -> None:
        if text.strip():
            up = (tm[1] ** 2 + tm[3] ** 2) ** 0.5 * (cm[1] ** 2 + cm[3] ** 2) ** 0.5
            sizes.add(round(size * up, 3))

    for page in PdfReader(BytesIO(pdf)).pages:
        page.extract_text(visitor_text=visit)
    return sizes


def greys(pdf: bytes) -> set[bytes]:
    """Every operator that sets a colour, with its values."""
    found: set[bytes] = set()
    for page in PdfReader(BytesIO(pdf)).pages:
        for operands, operator in page.get_contents().operations:
            if operator in (b"g", b"G", b"rg", b"RG", b"k", b"K"):
                found.add(b" ".join(str(float(o)).encode() for o in operands) + b" " + operator)
    return found


def rule_weights_mm(pdf: bytes) -> set[float]:
    """Every line weight set on the pages, mm."""
    found: set[float] = set()
    for page in PdfReader(BytesIO(pdf)).pages:
        for operands, operator in page.get_contents().operations:
            if operator == b"w":
                found.add(round(float(operands[0]) / MM, 2))
    return found
