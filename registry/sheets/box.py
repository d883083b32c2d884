"""The one printable box of every sheet: 182 x 254 mm on Letter and on A4, never scaled.

Positions on a sheet are millimetres from the upper left corner of the box, y going down.
"""

from dataclasses import dataclass

from registry.faults import DomainError

BOX_WIDTH_MM = 182.0
BOX_HEIGHT_MM = 254.0
MM = 72 / 25.4
"""Points in a millimetre."""


class SheetError(DomainError):
    """A sheet cannot be printed; the message says why."""


@dataclass(frozen=True)
class Paper:
    """A size of paper, and how far the box stands from its left edge so that holes fit, mm."""

    name: str
    width_mm: float
    height_mm: float
    left_mm: float

    @property
    def top_mm(self) -> float:
        """From the upper edge of the paper to the box, which stands in the middle of the height."""
        return (self.height_mm - BOX_HEIGHT_MM) / 2

    def point(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """A place in the box as PDF points from the lower left corner of the paper."""
        return (
            (self.left_mm + x_mm) * MM,
            (self.height_mm - self.top_mm - y_mm) * MM,
        )


PAPERS = {
    "letter": Paper("letter", 215.9, 279.4, 20.0),
    "a4": Paper("a4", 210.0, 297.0, 18.0),
}


def paper_named(name: str) -> Paper:
    """Return a paper by its word. Raises SheetError with the words there are."""
    if name not in PAPERS:
        raise SheetError(f"“{name}” is not a paper these sheets are made for: letter or a4.")
    return PAPERS[name]


def refuse_unless_full(heights_mm: tuple[float, ...]) -> None:
    """Blocks of a page fill the box to the last millimetre, or nothing is printed."""
    if abs(sum(heights_mm) - BOX_HEIGHT_MM) > 1e-6:
        raise SheetError(f"The blocks of the sheet are {sum(heights_mm):g} mm high, not 254 mm.")
