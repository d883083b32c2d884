"""The cells of one row -> values, with what was written, the kinds of empty, faults and doubts.

A fault stops the whole spreadsheet; a doubt asks and lets the row in. No cell is ever guessed.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from registry.exchange.columns import SYSTEM_OF, advise
from registry.exchange.guarded_text import unguard
from registry.exchange.problems import Problem, Problems
from registry.exchange.signs import unseen_signs
from registry.exchange.sources import SourceTable
from registry.faults import Ambiguous, DomainError
from registry.units import (
    Kind,
    System,
    Written,
    read_empty,
    read_quantity,
    unit_sign,
)

AS_READ = "Write it as it was read."
NO_COMMAS = "Write decimal points, and no commas between thousands."
ONE_WAY = "Write it so that it can be read in one way alone."
EMPTY_WORDS = "Write it as it was read, or nk, nm or na."
REMEMBERED = 20_000
EMPTY_BEGINS = "nNdD"  # of nk, nm, na and of their names
NO_RECORD = "Fill it in; a row cannot do without. If the row is no record, delete it."
SPREADSHEET_ERRORS = frozenset(
    {"#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!", "#SPILL!", "#CALC!"}
)
"""What spreadsheet programs write where a formula gave nothing (ECMA-376 part 1, 18.17.3; the last
two from memory of newer programs)."""
UNIT_SIGNS = {(kind, system): unit_sign(kind, system) for kind in Kind for system in System}


@dataclass
class Cells:
    """The reader of one table; `start` moves it to a row, and each method reads one cell of it.

    written  field -> text as written, with the unit of the header
    empties  field -> nk, nm or na
    """

    source: SourceTable
    faults: Problems
    doubts: Problems
    row: int = 0
    is_sound: bool = True
    written: dict[str, str] = field(default_factory=dict)
    empties: dict[str, str] = field(default_factory=dict)
    _cells: Sequence[str] = ()
    _place: dict[str, int] = field(default_factory=dict)
    _nameless: list[int] = field(default_factory=list)
    _seen: dict[tuple[str, str], Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._place = {name: i for i, name in enumerate(self.source.header) if name}
        self._nameless = [i for i, name in enumerate(self.source.header) if not name]

    def start(self, row: int, cells: Sequence[str]) -> bool:
        """Move to a row; return whether its cells stand below their names.

        Cells beyond the header are a fault, and what stands before them may have shifted, so that
        nothing more can be said of the row. Missing cells at its end are blank.
        """
        self.row, self._cells = row, cells
        self.is_sound, self.written, self.empties = True, {}, {}
        width = len(self.source.header)
        if width > len(cells) == 1 and (sign := _parted_by(cells[0], width)):
            self.fault(
                "",
                f"The cells of this row are parted by {sign}, those of the header by commas.",
                "Part all rows by commas: save the file anew as “CSV UTF-8 (comma delimited)”.",
            )
            return False
        has_shifted = len(cells) > width and any(cell.strip() for cell in cells[width:])
        if has_shifted:
            self.fault(
                "",
                f"The row has {len(cells)} cells and the header {width}.",
                "A comma inside a text or a decimal comma may have split a cell: put it into "
                "quotation marks, and write decimal points.",
            )
        for place in self._nameless:
            if place < len(cells) and cells[place].strip():
                column = f"column {place + 1}"
                self.fault(column, "The column of this cell has no name.", "Name the column.")
        return not has_shifted

    def fault(self, column: str, message: str, mend: str) -> None:
        """Note what keeps the spreadsheet out."""
        self.is_sound = False
        self.faults.add(Problem(self.source.file, self.row, column, message, mend))

    def doubt(self, column: str, message: str, mend: str) -> None:
        """Note what is asked."""
        self.doubts.add(Problem(self.source.file, self.row, column, message, mend))

    def raw(self, column: str) -> str:
        """Return the text of a cell without outer blanks; "" where the column is not there."""
        place = self._place.get(column)
        return "" if place is None or place >= len(self._cells) else self._cells[place].strip()

    def text(self, column: str, longest: int, *, required: bool = False) -> str:
        """Return a text; it is stored as it stands."""
        text = unguard(self.raw(column))
        if self._is_empty(column, column, text, required=required):
            return ""
        if len(text) > longest:
            self.fault(column, f"It is longer than {longest} characters.", "Say it in fewer words.")
        if not text.isprintable() and (unseen := unseen_signs(text)):
            self.doubt(
                column,
                f"It holds signs that nobody sees: {', '.join(unseen)}.",
                "Type it anew, if they do not belong there.",
            )
        self.written[column] = text
        return text

    def _doubt_blank(self, column: str) -> None:
        self.doubt(column, "It is not filled in.", "Fill it in, or write nk, nm or na.")

    def choice(
        self,
        column: str,
        words: Sequence[str],
        *,
        name: str = "",
        required: bool = False,
        must_be_filled: bool = False,
    ) -> str:
        """Return one of the words of a column, or ""."""
        name = name or column
        text = self.raw(column)
        word = text.lower()
        if word in words:
            self.written[name] = text
            return word
        if must_be_filled and not text:
            self._doubt_blank(column)
            return ""
        if self._is_empty(column, name, text, required=required):
            return ""
        self.fault(column, f"“{text}” is none of its words.", f"Write one of: {', '.join(words)}.")
        return ""

    def _is_empty(self, column: str, name: str, text: str, *, required: bool) -> bool:
        if not text:
            if required:
                self.fault(column, "It is not filled in.", NO_RECORD)
            return True
        if text[0] == "#" and text.upper() in SPREADSHEET_ERRORS:
            self.fault(column, f"It holds the error {text}, and no value.", EMPTY_WORDS)
            return True
        kind = read_empty(text) if text[0] in EMPTY_BEGINS else None
        if kind is None:
            return False
        if required:
            self.fault(column, f"“{text}” will not do here.", "Fill it in.")
            return True
        self.written[name], self.empties[name] = text, kind
        return True

    def read(self, column: str, text: str, reader: Callable[[str], Any]) -> Any:
        """Return what a reader makes of a text, or the DomainError it raises; each text once.

        A reader that depends on more than the text gets a `column` that says so ("at|Europe/Oslo").
        """
        key = (column, text)
        if key not in self._seen:
            if len(self._seen) >= REMEMBERED:
                self._seen.clear()
            try:
                self._seen[key] = reader(text)
            except DomainError as fault:
                self._seen[key] = fault
        return self._seen[key]

    def value(
        self,
        column: str,
        reader: Callable[[str], Any],
        *,
        name: str = "",
        required: bool = False,
        must_be_filled: bool = False,
        may_be_doubtful: bool = False,
        depends_on: str = "",
    ) -> Any:
        """Return what a reader makes of a cell, or None.

        required         neither blank nor a kind of empty will do
        must_be_filled   blank is a doubt, a kind of empty is not
        may_be_doubtful  more readings than one give the Ambiguous itself, and are no fault
        depends_on       what the reader's answer depends on beside the text
        """
        name = name or column
        text = self.raw(column)
        if must_be_filled and not text:
            self._doubt_blank(column)
            return None
        if self._is_empty(column, name, text, required=required):
            return None
        self.written[name] = text
        value = self.read(f"{column}|{depends_on}", text, reader)
        if isinstance(value, Ambiguous) and may_be_doubtful:
            return value
        if isinstance(value, DomainError):
            mend = AS_READ if required else EMPTY_WORDS
            self.fault(column, value.message, ONE_WAY if isinstance(value, Ambiguous) else mend)
            return None
        if isinstance(value, float) and "," in text:
            message = f"“{text}” was read as {value:.10g}."
            self.doubt(column, message, NO_COMMAS)
        return value

    def quantity(
        self, columns: tuple[str, str], kind: Kind, name: str, *, must_be_filled: bool = False
    ) -> tuple[Written | None, System | None]:
        """Return a quantity out of its two columns, and the system in which the row has it."""
        filled = [column for column in columns if self.raw(column)]
        if len(filled) > 1:
            self.fault(
                filled[1], f"{filled[0]} is filled in as well.", "Fill in one of the two, as read."
            )
            for column in filled:  # what else is wrong with either
                self._one_quantity(column, kind, name)
            return None, None
        if not filled:
            if must_be_filled:
                self._doubt_blank(" or ".join(c for c in columns if c in self._place))
            return None, None
        return self._one_quantity(filled[0], kind, name)

    def filled(self, columns: Sequence[str]) -> str:
        """Return which of the columns of one quantity is filled in, the first if none is."""
        return next((column for column in columns if self.raw(column)), columns[0])

    def _one_quantity(
        self, column: str, kind: Kind, name: str
    ) -> tuple[Written | None, System | None]:
        system = SYSTEM_OF[column]
        written = self.value(
            column, lambda text: _read_quantity(text, kind, system, column), name=name
        )
        if written is None:
            return None, system
        if written.text.replace(".", "", 1).isdecimal():
            self.written[name] = f"{written.text} {UNIT_SIGNS[kind, system]}"
        if "," in written.text:
            self.doubt(
                column,
                f"“{written.text}” was read as {written.value:.10g} {written.unit}.",
                NO_COMMAS,
            )
        return written, system


def _parted_by(text: str, width: int) -> str:
    """Return what parts a row whose cells stand in one, as many as the header or nearly so."""
    signs = {";": "semicolons", "\t": "tabs", "|": "upright strokes"}
    return next((name for s, name in signs.items() if text.count(s) >= max(2, width // 2)), "")


def _read_quantity(text: str, kind: Kind, system: System, column: str) -> Written:
    written = read_quantity(text, kind, system=system)
    if written.system is not system:
        raise DomainError(
            f"“{text}” has the unit “{written.unit}”, but the column is {column}: "
            "put it into the column of its unit."
        )
    return written


def check_header(source: SourceTable, faults: Problems) -> bool:
    """Note every fault of a header; say whether rows can be read at all."""
    before = faults.count
    if not set(source.header) & set(source.table.columns):
        columns = ", ".join(source.table.columns)
        faults.add(
            Problem(
                source.file,
                source.header_row,
                "",
                f"No cell of this row is a column of {source.table.name}, so it is no header.",
                f"Delete what stands above the header. The columns are: {columns}.",
            )
        )
        return False

    def fault(column: str, message: str, mend: str) -> None:
        faults.add(Problem(source.file, source.header_row, column, message, mend))

    for name in sorted({n for n in source.header if n and source.header.count(n) > 1}):
        fault(name, "The column is there twice.", "Keep one of the two.")
    for name in source.header:
        if name and name not in source.table.columns:
            fault(name, "This column is not known.", advise(name, source.table))
    for name in source.table.missing(frozenset(source.header)):
        fault(name, "The column is missing.", "Add it; what is not known is written nk.")
    return faults.count == before
