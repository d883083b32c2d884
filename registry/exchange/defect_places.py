"""The place of a defect in the cells panel, right and up, in and out.

A place in a panel stands in three cells: `C8`, `3.2`, `8.5`, or `2-9` for a span. Any other place
stands whole in the cell panel: `C8|B8 U 1-10`, `1+42.5 L 3.0`, `g(2,1)`. Right and up alone are
measured from the datum. They are in ft or m as the column unit of the row is; where that says
nothing or another one, the cells say it themselves: `3.2 ft`, `1+42.5 L 3.0 (ft)`.
"""

import re
from dataclasses import dataclass

from registry.faults import DomainError
from registry.models import Defect
from registry.plan import PanelPlace, Place, PlaceError, read_place, write_place
from registry.plan.lengths import metres_from, unit_name, write_length
from registry.plan.places import Extent, Span, at
from registry.units import System

SYSTEM_OF_SIGN = {"ft": System.INCH_POUND, "m": System.SI}
_NUMBER = r"\d+(?:[.,]\d+)?"
_MEASURE = re.compile(rf"({_NUMBER})(?:\s*(?:-|–|to)\s*({_NUMBER}))?\s*(ft|m)?")
_SIGNED_TEXT = re.compile(r"(.*?)\s*\((ft|m)\)")


class PlaceNotRead(DomainError):
    """A cell of the place cannot be read; `column` says which."""

    def __init__(self, column: str, message: str) -> None:
        self.column = column
        super().__init__(message)


@dataclass(frozen=True)
class CellPlace:
    """A place as a row has it.

    text       as crews write it, in `system`: "C8 · 3.2 R · 8.5 U"; "" where none is given
    place      as read; None for right and up alone, for words, or for none at all
    right, up  spans in metres, where the cells give them
    """

    text: str = ""
    system: System = System.SI
    place: Place | None = None
    right: Span | None = None
    up: Span | None = None

    @property
    def key(self) -> str:
        """Return what two rows at the same place share, whatever they are written in."""
        if self.place is not None:
            return write_place(self.place, System.SI)
        spans = " ".join(_shown(span, System.SI) for span in (self.right, self.up) if span)
        return spans or self.text.casefold()

    @property
    def is_words(self) -> bool:
        """Say whether it is words that name no panel, station or square."""
        return bool(self.text) and self.place is None and self.right is None and self.up is None

    @property
    def has_lengths(self) -> bool:
        """Say whether something in it is in feet or metres."""
        return any(c.isdigit() for c in _lengths(self.text)) and not self.is_words

    @property
    def panel(self) -> str:
        """Return the name of its panel, where it lies in one."""
        return str(self.place.panel) if isinstance(self.place, PanelPlace) else ""

    @property
    def is_measured(self) -> bool:
        """Say whether the place tells where, not only in which panel."""
        if isinstance(self.place, PanelPlace):
            return self.place.extent != Extent.SOMEWHERE
        return self.place is not None or (self.right is not None and self.up is not None)

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """Return its points, m, from the home corner or, without a panel, from the datum."""
        if self.right is None or self.up is None:
            return ()
        xs, ys = ((s.start_m, s.stop_m) for s in (self.right, self.up))
        corners = ((xs[0], ys[0]), (xs[1], ys[0]), (xs[1], ys[1]), (xs[0], ys[1]))
        return tuple(dict.fromkeys(corners))

    def in_system(self, system: System) -> str:
        """Return the text in the units of a pavement's sheets."""
        if self.place is not None:
            return write_place(self.place, system)
        if system == self.system:
            return self.text
        named = ((self.right, "R"), (self.up, "U"))
        return " · ".join(f"{_shown(span, system)} {letter}" for span, letter in named if span)


def read_cells(
    panel: str, right: str, up: str, *, said: System | None, usual: System
) -> tuple[CellPlace, bool]:
    """Return the place of three cells, and whether its unit had to be taken from the sheets.

    said   the system of the row's column unit; None where that says nothing
    usual  the system of the pavement's sheets
    Raises PlaceNotRead.
    """
    text, signs = panel, set()
    if signed := _SIGNED_TEXT.fullmatch(panel):
        text = signed[1]
        signs.add(SYSTEM_OF_SIGN[signed[2]])
    measures = {}
    for column, cell in (("right", right), ("up", up)):
        if cell:
            measures[column], sign = _read_measure(column, cell)
            signs |= {sign} if sign else set()
    if len(signs) > 1:
        raise PlaceNotRead("right, up", "Feet and metres are mixed in one place.")
    system = next(iter(signs), said or usual)
    parts = [text] if text else []
    parts += [f"{cell} {'R' if c == 'right' else 'U'}" for c, cell in measures.items()]
    written = " · ".join(parts)
    place, spans = _place_of(text, written, measures, system)
    found = CellPlace(written, system, place, spans.get("right"), spans.get("up"))
    return found, not signs and said is None and found.has_lengths


def _read_measure(column: str, cell: str) -> tuple[str, System | None]:
    found = _MEASURE.fullmatch(cell)
    if found is None:
        raise PlaceNotRead(
            column, f"“{cell}” is not a length; write ft or m as in the column unit: 3.2, or 2-9."
        )
    numbers = [n.replace(",", ".") for n in (found[1], found[2]) if n]
    return "-".join(numbers), SYSTEM_OF_SIGN.get(found[3] or "")


def _place_of(
    text: str, written: str, measures: dict[str, str], system: System
) -> tuple[Place | None, dict[str, Span]]:
    try:
        spans = {column: _span(cell, system) for column, cell in measures.items()}
        place = read_place(written, system) if text else None
    except PlaceError as fault:
        if measures:
            raise PlaceNotRead("panel, right, up", fault.message) from fault
        return None, {}
    if isinstance(place, PanelPlace):
        given = {"right": place.right, "up": place.up}
        spans = {column: span for column, span in given.items() if span is not None}
    return place, spans


def _span(cell: str, system: System) -> Span:
    ends = [metres_from(float(end), system) for end in cell.split("-")]
    return at(ends[0]) if len(ends) == 1 else Span(ends[0], ends[1])


def _lengths(text: str) -> str:
    """What of a place is in ft or m: all but the names of its panels and squares."""
    return re.sub(r"g\s*\([\d\s,;]+\)|[A-Za-z]{1,2}\d{1,3}[A-Za-z]*", "", text)


def cells_of(place: CellPlace, said: System | None) -> dict[str, str]:
    """Return the cells panel, right and up of a place; `said`: the system of the row's unit."""
    inside = place.place
    sign = "" if said == place.system else unit_name(place.system)
    if place.is_words or (isinstance(inside, PanelPlace) and inside.extent == Extent.WHOLE):
        return {"panel": place.text}
    if inside is not None and not isinstance(inside, PanelPlace):
        marked = sign and place.has_lengths
        return {"panel": f"{place.text} ({sign})" if marked else place.text}
    cells = {"panel": place.panel}
    for column, span in (("right", place.right), ("up", place.up)):
        if span is not None:
            cells[column] = f"{_shown(span, place.system)} {sign}".strip()
    return cells


def place_of_text(text: str, system: System) -> CellPlace:
    """Return a place that stands in the record; words that are no place stay as they are."""
    try:
        place = read_place(text, system)
    except PlaceError:
        return _from_datum(text, system)
    if isinstance(place, PanelPlace):
        return CellPlace(write_place(place, system), system, place, place.right, place.up)
    return CellPlace(write_place(place, system), system, place)


def _from_datum(text: str, system: System) -> CellPlace:
    found = {}
    for part in text.split(" · "):
        measure, _, letter = part.rpartition(" ")
        if letter in ("R", "U") and _MEASURE.fullmatch(measure):
            found[letter] = _span(measure, system)
    return CellPlace(text, system, None, found.get("R"), found.get("U"))


def _shown(span: Span, system: System) -> str:
    ends = (span.start_m,) if span.is_point else (span.start_m, span.stop_m)
    return "-".join(write_length(end, system, least_digits=0) for end in ends)


def stored_place(row: Defect) -> CellPlace:
    """Return the place of a defect of the record, as written where it still is that one."""
    sheets = System(row.pavement.sheet_system)
    if row.written("place_in"):
        written = place_of_text(row.written("place"), System(row.written("place_in")))
        if written.in_system(sheets) == row.place:
            return written
    return place_of_text(row.place or row.panels_text, sheets)
