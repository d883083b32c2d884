"""Rows of the file of defects: each is a look at a defect on a day, or the day its state moved."""

from dataclasses import dataclass, field
from datetime import date

from registry.defects import KINDS, SEVERITIES, STATES, kind_of
from registry.exchange.cells import Cells
from registry.exchange.defect_notes import Marks, read_note
from registry.exchange.defect_places import CellPlace, PlaceNotRead, read_cells
from registry.exchange.pavement_rows import REF_LENGTH
from registry.exchange.serial_days import read_day
from registry.faults import DomainError
from registry.gathering.defect_looks import EXTENT_OF
from registry.numerals import whole_number
from registry.units import Kind, System, Written, read_empty, read_quantity

UNITS: dict[str, tuple[str, System | None]] = {
    "m2": ("m2", System.SI),
    "ft2": ("m2", System.INCH_POUND),
    "m": ("m", System.SI),
    "ft": ("m", System.INCH_POUND),
    "mm": ("mm", System.SI),
    "in": ("mm", System.INCH_POUND),
    "count": ("count", None),
}
"""Word of the column unit to the unit of a kind, and the system it tells."""

QUANTITIES = {"m2": Kind.AREA, "m": Kind.LENGTH, "mm": Kind.SMALL_LENGTH}
TOLD_STATES = tuple(state for state in STATES if state != "carried_on")
"""States that a file may tell; a split carries defects on by itself."""

PLACE_LENGTH = 120
MM_PER_M = 1000


@dataclass(slots=True)
class DefectRow:
    """One row; None and "" stand for not filled in. Measures by the name of their field, SI."""

    row: int
    ref: str
    kind: str
    seen_on: date
    severity: str
    measures: dict[str, float]
    state: str
    marks: Marks
    panel: str
    right: str
    up: str
    said: System | None
    written: dict[str, str]
    empties: dict[str, str]
    is_sound: bool
    place: CellPlace = field(default_factory=CellPlace)

    @property
    def is_measured(self) -> bool:
        """Say whether somebody measured or graded it: such a row is a look that found it."""
        told = self.severity or self.measures or self.marks.direction
        return bool(told or "severity" in self.empties)


def read_defect(cells: Cells, today: date) -> DefectRow | None:
    """Return the row that `cells` stands on, each of its faults noted; None without day and kind.

    today  the day at the site
    The place is read later, by `place_row`, when the units of the pavement's sheets are known.
    """
    kind = cells.choice("kind", tuple(KINDS), required=True)
    seen_on = cells.value("seen_on", read_day, required=True)
    if seen_on is not None and seen_on > today:
        mend = "Write the day on which it was seen."
        cells.fault("seen_on", f"{seen_on} lies in the future.", mend)
    unit, said = _unit(cells, kind)
    measures = _measures(cells, kind, unit, said)
    row = DefectRow(
        row=cells.row,
        ref=cells.text("pavement_ref", REF_LENGTH, required=True),
        kind=kind,
        seen_on=seen_on or today,
        severity=_severity(cells, kind),
        measures=measures,
        state=cells.choice("state", TOLD_STATES),
        marks=read_note(cells.text("note", 10_000), tells_direction=has_direction(kind)),
        panel=cells.text("panel", PLACE_LENGTH),
        right=cells.text("right", 40),
        up=cells.text("up", 40),
        said=said,
        written=cells.written,
        empties=cells.empties,
        is_sound=cells.is_sound,  # the last of them: all cells are read by now
    )
    return row if kind and seen_on is not None else None


def _unit(cells: Cells, kind: str) -> tuple[str, System | None]:
    word = cells.choice("unit", tuple(UNITS))
    if not word:
        if kind and (text := cells.raw("extent")) and read_empty(text) is None:
            fitting = ", ".join(w for w, (unit, _) in UNITS.items() if unit == kind_of(kind).unit)
            cells.fault("unit", "The extent has no unit.", f"Write one of: {fitting}.")
        return "", None
    unit, said = UNITS[word]
    if kind and unit != kind_of(kind).unit:
        fitting = ", ".join(w for w, (one, _) in UNITS.items() if one == kind_of(kind).unit)
        message = f"{kind_of(kind).label} is not measured in {word}."
        cells.fault("unit", message, f"Write one of: {fitting}.")
        return "", said
    return unit, said


def _severity(cells: Cells, kind: str) -> str:
    severity = cells.choice("severity", SEVERITIES)
    if severity and kind and kind_of(kind).highest == "low" and severity != "low":
        message = f"{kind_of(kind).label} is a matter of looks only: never above low."
        cells.fault("severity", message, "Write low, or choose the kind that fits.")
    return severity


def _measures(cells: Cells, kind: str, unit: str, said: System | None) -> dict[str, float]:
    found: dict[str, float] = {}
    if kind and (unit or read_empty(cells.raw("extent")) is not None):
        name = EXTENT_OF[kind_of(kind).unit]
        value = _extent(cells, name, unit or kind_of(kind).unit, said)
        if value is not None:
            found[name] = value
    for column, name in (("width_mm", width_of(kind)), ("lip_mm", "lip_m")):
        written = cells.value(column, _millimetres, name=f"{name} in {column}")
        if written is None:
            continue
        value = written.si / MM_PER_M
        cells.written.setdefault(name, f"{written.text} mm")
        if abs(found.get(name, value) - value) > 1e-9:
            message = f"The extent says {found[name] * MM_PER_M:.10g} mm of the same measure."
            cells.fault(column, message, "Write it once, or the same twice.")
        found.setdefault(name, value)
    return found


def has_direction(kind: str) -> bool:
    """Say whether a look at that kind tells which way a blade went; "" is no kind."""
    return bool(kind) and "direction" in kind_of(kind).asks


def width_of(kind: str) -> str:
    """Return the measure that the column width_mm holds: of a crack its own, else of the band."""
    return "crack_width_m" if kind == "crack" else "width_m"


def _extent(cells: Cells, name: str, unit: str, said: System | None) -> float | None:
    if unit == "count":
        return cells.value("extent", _count, name=name)
    written: Written | None = cells.value(
        "extent",
        lambda text: _quantity(text, QUANTITIES[unit], said),
        name=name,
        depends_on=f"{unit}|{said}",
    )
    if written is None:
        return None
    if written.text.replace(".", "", 1).isdecimal():
        cells.written[name] = f"{written.text} {written.unit}"
    if "," in written.text:
        message = f"“{written.text}” was read as {written.value:.10g} {written.unit}."
        mend = "Write decimal points, and no commas between thousands."
        cells.doubt("extent", message, mend)
    return written.si / MM_PER_M if unit == "mm" else written.si


def _quantity(text: str, kind: Kind, said: System | None) -> Written:
    written = read_quantity(text, kind, system=said)
    if said is not None and written.system is not said:
        raise DomainError(f"“{text}” is in {written.unit}, and the column unit says otherwise.")
    return written


def _millimetres(text: str) -> Written:
    return _quantity(text, Kind.SMALL_LENGTH, System.SI)


def _count(text: str) -> int:
    if (count := whole_number(text)) is None or count > 100_000:
        raise DomainError(f"“{text}” is no count; write a whole number: 3.")
    return count


def place_row(cells: Cells, row: DefectRow, usual: System) -> None:
    """Read the place of a row; what is not clear about it becomes a doubt or a fault.

    usual  the system of the pavement's sheets, for a row whose unit tells none
    """
    try:
        row.place, is_taken = read_cells(row.panel, row.right, row.up, said=row.said, usual=usual)
    except PlaceNotRead as fault:
        cells.fault(fault.column, fault.message, "Write panel, right and up as they were taped.")
        row.is_sound = False
        return
    if is_taken:
        unit = "ft" if usual == System.INCH_POUND else "m"
        cells.doubt(
            "right, up",
            f"Nothing says whether the place is in feet or metres: it was read in {unit}, as the "
            "sheets of this pavement are.",
            f"Fill in the column unit, or write the unit into the cell: 3.2 {unit}.",
        )
    if row.place.is_words:
        cells.doubt(
            "panel",
            f"“{row.place.text}” names no panel, station or square: kept as words.",
            "Place it on the plan on the page of the defect.",
        )
    if not row.place.text:
        cells.doubt("panel", "No place is given.", "Fill in panel, right and up.")
