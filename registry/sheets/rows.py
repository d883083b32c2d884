"""A row of a sheet written from left to right: words, pen lines, tick boxes, combs.

A row never prints over its end: what does not fit is a mistake of the sheet and stops it.
"""

from registry.sheets.box import SheetError
from registry.sheets.ink import (
    DIGIT_MM,
    SIGN_MM,
    TEXT_PT,
    TICK_MM,
    Ink,
    broken,
    width_of,
)

ROW_MM = 8.0
MARGIN_MM = 1.5
GAP_MM = 1.2
_FOOT_MM = 2.0  # from the foot of the letters to the lower end of the row
_UPPER_MM, _LOWER_MM = 2.6, 0.9  # two lines in a row: above and below the foot of one
_COMB_MM = 6.6  # height of a comb; the rest of the row parts it from the next


class Row:
    """One row, `x` to `x + width`. Every method moves on and returns the row."""

    def __init__(self, ink: Ink, x: float, y: float, width: float, height: float = ROW_MM) -> None:
        self.ink = ink
        self.at = x + MARGIN_MM
        self.end = x + width - MARGIN_MM
        self.top = y
        self.height = height

    @property
    def foot(self) -> float:
        """Where letters stand."""
        return self.top + self.height - _FOOT_MM

    def word(self, words: str, *, bold: bool = False, size: float = TEXT_PT) -> "Row":
        """Print words in one line."""
        self._advance(width_of(words, size=size, bold=bold), GAP_MM, words)
        self.ink.text(self._from, self.foot, words, size=size, bold=bold)
        return self

    def label(self, first: str, second: str) -> "Row":
        """Print words in two lines, where one would take too much of the row."""
        self._advance(max(width_of(first), width_of(second)), GAP_MM, f"{first} {second}")
        self.ink.text(self._from, self.foot - _UPPER_MM, first)
        self.ink.text(self._from, self.foot + _LOWER_MM, second)
        return self

    def pen(self, width: float, *, upto: float | None = None) -> "Row":
        """A line to write on; `upto` ends it at a place of the sheet instead."""
        width = upto - self.at if upto is not None else width
        self._advance(width, GAP_MM, "a line to write on")
        self.ink.line(self._from, self.foot + 0.7, self._from + width, self.foot + 0.7)
        return self

    def pen_to_end(self) -> "Row":
        """A line to write on as far as the row goes."""
        return self.pen(self.end - self.at)

    def printed(self, words: str, width: float, *, bold: bool = False) -> "Row":
        """Print words in a width; where there are none, a line to write on.

        A row of 8 mm holds them in two lines where one is too short; what has no room even so is
        visibly shortened.
        """
        if not words:
            return self.pen(width)
        self._advance(width, GAP_MM, words)
        lines = broken(words, width, lines=2 if self.height >= ROW_MM else 1, bold=bold)
        feet = (self.foot,) if len(lines) == 1 else (self.foot - _UPPER_MM, self.foot + _LOWER_MM)
        for foot, line in zip(feet, lines, strict=True):
            self.ink.text(self._from, foot, line, bold=bold)
        return self

    def clock(self, width: float = 12.0) -> "Row":
        """A line to write a time of day on, its colon printed."""
        self._advance(width, GAP_MM, "a time")
        half = (width - 2) / 2
        for begin in (self._from, self._from + half + 2):
            self.ink.line(begin, self.foot + 0.7, begin + half, self.foot + 0.7)
        self.ink.text(self._from + half + 0.5, self.foot, ":")
        return self

    def comb(self, pattern: str) -> "Row":
        """Cells for single digits: "####-##-##"; other signs are printed between them."""
        self._advance(comb_width(pattern), GAP_MM, pattern)
        x = self._from
        y = self.top + (self.height - _COMB_MM) / 2
        for sign in pattern:
            if sign == "#":
                self.ink.frame(x, y, DIGIT_MM, _COMB_MM)
                x += DIGIT_MM
            else:
                self.ink.text(x + (SIGN_MM - width_of(sign)) / 2, self.foot, sign, bold=True)
                x += SIGN_MM
        return self

    def tick(self, words: str, *, is_ticked: bool = False, is_bold: bool = False) -> "Row":
        """A box to tick and its word."""
        self._advance(TICK_MM, 1.0, words)
        y = self.foot - 1.2 - TICK_MM / 2
        self.ink.tick(self._from, y, is_ticked=is_ticked)
        return self.word(words, bold=is_bold)

    def gap(self, width: float) -> "Row":
        """Leave a blank."""
        self.at += width
        return self

    def _advance(self, width: float, gap: float, what: str) -> None:
        if self.at + width > self.end + 1e-6:
            raise SheetError(f"A row of the sheet has no room for “{what}”.")
        self._from = self.at
        self.at += width + gap


def comb_width(pattern: str) -> float:
    """How wide a comb is, mm."""
    return sum(DIGIT_MM if sign == "#" else SIGN_MM for sign in pattern)


def table(
    ink: Ink,
    y: float,
    columns: tuple[tuple[str, float], ...],
    count: int,
    *,
    head_mm: float,
    title: str = "",
) -> tuple[float, ...]:
    """Rules and headings of a table of `count` rows of 8 mm; returns where each column begins.

    columns: heading and width; the widths make up the width of the box. `title` stands before
    the first heading, in bold.
    """
    starts, x = [], 0.0
    bottom = y + head_mm + count * ROW_MM
    for nth, (heading, width) in enumerate(columns):
        starts.append(x)
        lead = f"{title} " if title and nth == 0 else ""
        at = ink.text(x + 1.2, y + head_mm - 0.8, lead, bold=True) if lead else x + 1.0
        if width_of(heading) > x + width - at:
            raise SheetError(f"The column “{heading}” is too narrow for its heading.")
        ink.text(at, y + head_mm - 0.8, heading)
        if nth:
            ink.line(x, y, x, bottom)
        x += width
    for nth in range(count + 1):
        ink.rule(y + head_mm + nth * ROW_MM, x)
    return tuple(starts)
