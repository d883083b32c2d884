"""Words, tables and pictures that flow over as many pages as they take. Nothing is cut off.

A table repeats its head on each page; a row higher than a page goes on on the next one.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from io import BytesIO

from reportlab.lib.utils import ImageReader

from registry.drawing.primitives import Drawing
from registry.sheets.box import BOX_HEIGHT_MM, BOX_WIDTH_MM, MM
from registry.sheets.footer import FOOTER_MM
from registry.sheets.header import HEADER_MM
from registry.sheets.ink import HEADING_PT, LINE_MM, THICK_MM, Ink, width_of
from registry.sheets.rows import MARGIN_MM

TOP_MM = HEADER_MM + 1.0
BOTTOM_MM = BOX_HEIGHT_MM - FOOTER_MM - 1.0
_PAD_MM = 1.2  # of a row, above and below together
_HEADING_MM = 7.0
_GAP_MM = 3.0
_SHORT = 4
"""Lines of a paragraph that are never parted by the end of a page."""

Stroke = Callable[[Ink], None]


@dataclass(frozen=True)
class Column:
    """Heading and width; figures stand to the right, well off the words of the next column."""

    head: str
    width_mm: float
    right: bool = False

    @property
    def room_mm(self) -> float:
        """What words may fill of it."""
        return self.width_mm - (3.0 if self.right else 1.6)


@dataclass(frozen=True)
class Table:
    """Rows of words under headings; `foot` says how its figures came about."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: str = ""
    empty: str = "None in the record."


@dataclass(frozen=True)
class Said:
    """A paragraph, with a bold lead."""

    text: str
    lead: str = ""


@dataclass(frozen=True)
class Thumb:
    """A photo drawn small, with lines of words beside it; no bytes where there is no picture."""

    jpeg: bytes | None
    lines: tuple[str, ...]


Block = Table | Said | Drawing | Thumb
THUMB_MM = (24.0, 18.0)


@dataclass
class Flow:
    """Pages filled from the top; each is a list of what to draw on it."""

    pages: list[list[Stroke]] = field(default_factory=list)
    at: float = BOTTOM_MM

    def new_page(self) -> None:
        self.pages.append([])
        self.at = TOP_MM

    def room(self, height: float) -> None:
        """Go to a new page where so much is not left of this one."""
        if not self.pages or self.at + height > BOTTOM_MM:
            self.new_page()

    def draw(self, height: float, stroke: Callable[[Ink, float], None]) -> None:
        """Draw something of a height at the place reached, and move on."""
        self.room(height)
        y = self.at
        self.pages[-1].append(lambda ink: stroke(ink, y))
        self.at += height

    def heading(self, words: str) -> None:
        """A heading, never alone at the foot of a page."""
        self.room(_HEADING_MM + 4 * LINE_MM)
        self.draw(
            _HEADING_MM,
            lambda ink, y: _line(ink, MARGIN_MM, y + 5.0, words, size=HEADING_PT, bold=True),
        )

    def add(self, block: Block) -> None:
        """Lay out one block."""
        match block:
            case Table():
                self._table(block)
            case Said():
                self._said(block)
            case Drawing():
                self.draw(
                    block.height_mm + _GAP_MM, lambda ink, y: ink.picture(block, MARGIN_MM, y)
                )
            case Thumb():
                self._thumb(block)

    def _said(self, said: Said) -> None:
        lines = wrapped(said.text, BOX_WIDTH_MM - 2 * MARGIN_MM)
        together = len(lines) if len(lines) <= _SHORT else 2
        self.room((together + bool(said.lead)) * LINE_MM)
        if said.lead:
            self._one_line(said.lead, bold=True)
        for line in lines:
            self._one_line(line)
        self.at += 1.0

    def _one_line(self, words: str, *, bold: bool = False) -> None:
        self.draw(
            LINE_MM, lambda ink, y: _line(ink, MARGIN_MM, y + LINE_MM - 0.6, words, bold=bold)
        )

    def _thumb(self, thumb: Thumb) -> None:
        width, height = THUMB_MM
        x = MARGIN_MM + width + 2.0
        lines = [
            part for words in thumb.lines for part in wrapped(words, BOX_WIDTH_MM - x - MARGIN_MM)
        ]
        needed = max(height + 2.0, len(lines) * LINE_MM + 2.0)
        self.draw(needed, lambda ink, y: _draw_thumb(ink, y, thumb.jpeg, lines, x))

    def _table(self, table: Table) -> None:
        if table.title:
            self.room(5 * LINE_MM)
            self._one_line(table.title, bold=True)
        if not table.rows:
            self._one_line(table.empty)
            self.at += _GAP_MM
            return
        heads = [wrapped(column.head, column.room_mm, bold=True) for column in table.columns]
        self._row(heads, table.columns, bold=True, keep=2 * LINE_MM)
        foot = wrapped(table.foot, BOX_WIDTH_MM - 2 * MARGIN_MM) if table.foot else []
        rows = [
            [
                wrapped(words, column.room_mm)
                for words, column in zip(row, table.columns, strict=True)
            ]
            for row in table.rows
        ]
        for nth, cells in enumerate(rows, start=1):
            keep = len(foot) * LINE_MM if nth >= len(rows) - 1 else 0.0
            if nth == len(rows) - 1:  # the last row does not stand alone on a page
                keep += max(map(len, rows[-1])) * LINE_MM + _PAD_MM
            self._long_row(cells, heads, table.columns, keep=keep)
        if foot:
            self.at += 0.6
            for line in foot:
                self._one_line(line)
        self.at += _GAP_MM

    def _long_row(
        self,
        cells: list[list[str]],
        heads: list[list[str]],
        columns: tuple[Column, ...],
        *,
        keep: float,
    ) -> None:
        """Draw a row; `keep` is what has to follow it on its page, where it fits on one."""
        height = max(len(lines) for lines in cells)
        head_lines = max(len(lines) for lines in heads)
        most = int((BOTTOM_MM - TOP_MM - _PAD_MM * 2) / LINE_MM) - head_lines
        for start in range(0, max(height, 1), most):
            part = [lines[start : start + most] for lines in cells]
            needed = max(map(len, part)) * LINE_MM + _PAD_MM
            fits = self.at + needed + keep + 0.6 <= BOTTOM_MM
            is_whole = head_lines * LINE_MM + needed + keep + 3 * _PAD_MM <= BOTTOM_MM - TOP_MM
            if self.at + needed > BOTTOM_MM or (keep and not fits and is_whole):
                self.new_page()
                self._row(heads, columns, bold=True)
            self._row(part, columns)

    def _row(
        self,
        cells: list[list[str]],
        columns: tuple[Column, ...],
        *,
        bold: bool = False,
        keep: float = 0.0,
    ) -> None:
        height = max((len(lines) for lines in cells), default=1) * LINE_MM + _PAD_MM
        self.room(height + keep)
        self.draw(height, lambda ink, y: _draw_row(ink, y, height, cells, columns, bold=bold))


def wrapped(words: str, width: float, *, bold: bool = False) -> list[str]:
    """Words broken into lines of a width, at blanks, and within a word that is too long alone."""
    lines: list[str] = []
    for paragraph in words.splitlines() or [""]:
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if width_of(longer, bold=bold) <= width:
                line = longer
                continue
            if line:
                lines.append(line)
            *full, line = _pieces(word, width, bold=bold)
            lines += full
        lines.append(line)
    return lines


def _pieces(word: str, width: float, *, bold: bool) -> list[str]:
    found = []
    while width_of(word, bold=bold) > width and len(word) > 1:
        count = len(word) - 1
        while count > 1 and width_of(word[:count], bold=bold) > width:
            count -= 1
        found.append(word[:count])
        word = word[count:]
    return [*found, word]


def _line(ink: Ink, x: float, y: float, words: str, **how: float | bool) -> None:
    ink.text(x, y, words, **how)  # type: ignore[arg-type]


def _draw_row(
    ink: Ink,
    y: float,
    height: float,
    cells: Sequence[Sequence[str]],
    columns: Sequence[Column],
    *,
    bold: bool,
) -> None:
    x = MARGIN_MM
    for lines, column in zip(cells, columns, strict=True):
        for nth, words in enumerate(lines):
            foot = y + (nth + 1) * LINE_MM - 0.4
            at = x + (column.room_mm - width_of(words, bold=bold) if column.right else 0.0)
            ink.text(at, foot, words, bold=bold)
        x += column.width_mm
    ink.rule(y + height - 0.3, BOX_WIDTH_MM, THICK_MM / 2 if bold else 0.12)


def _draw_thumb(ink: Ink, y: float, jpeg: bytes | None, lines: list[str], x: float) -> None:
    width, height = THUMB_MM
    if jpeg is not None:
        left, foot = ink.paper.point(MARGIN_MM, y + 0.8 + height)
        ink.canvas.drawImage(
            ImageReader(BytesIO(jpeg)),
            left,
            foot,
            width * MM,
            height * MM,
            preserveAspectRatio=True,
            anchor="nw",
        )
    else:
        ink.frame(MARGIN_MM, y + 0.8, width, height)
        ink.text(MARGIN_MM + 2, y + 10, "no picture")
    for nth, words in enumerate(lines):
        ink.text(x, y + (nth + 1) * LINE_MM - 0.2, words)
