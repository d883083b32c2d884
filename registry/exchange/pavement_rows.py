"""Rows of the file of pavements."""

import re
from dataclasses import dataclass
from datetime import date

from registry.exchange.cells import Cells
from registry.exchange.columns import ANSWERS, SURFACES, USES
from registry.exchange.serial_days import read_day
from registry.faults import Ambiguous, DomainError
from registry.measuring import level_slip
from registry.numerals import number_readings, tidy
from registry.units import Kind, System, Written

REF_LENGTH = 40
LARGEST_M2 = 1e6
"""Beyond it an area is asked about; common practice, no source."""
AREA, ACTION_RATE = ("area_m2", "area_ft2"), ("action_rate_mm_h", "action_rate_in_h")


@dataclass(frozen=True, slots=True)
class PavementRow:
    """One pavement as its row has it; None and "" stand for not filled in."""

    row: int
    ref: str
    name: str
    site: str
    surface: str
    placed_on: date | None
    area: Written | None
    action_rate: Written | None
    lon: float | None
    lat: float | None
    use: str
    run_on_m2: float | None
    heavy_trees: str
    winter_sand: str
    bare_soil_run_on: str
    written: dict[str, str]
    empties: dict[str, str]
    system: System | None
    is_sound: bool


def read_pavement(cells: Cells, today: date) -> PavementRow:
    """Return the row that `cells` stands on, each of its faults noted."""
    area, area_system = cells.quantity(AREA, Kind.AREA, "area_m2", must_be_filled=True)
    action_rate, rate_system = cells.quantity(ACTION_RATE, Kind.RATE, "action_rate_mm_h")
    _above_zero(cells, area, AREA, "The area")
    _ask_about_area(cells, area)
    _above_zero(cells, action_rate, ACTION_RATE, "The action rate")
    _ask_about_level(cells, action_rate)
    lon, lat = _position(cells)
    cells.text("other_ref", REF_LENGTH)
    return PavementRow(
        row=cells.row,
        ref=cells.text("ref", REF_LENGTH, required=True),
        name=cells.text("name", 160, required=True),
        site=cells.text("site", 160, required=True),
        surface=cells.choice("surface", SURFACES, required=True),
        placed_on=_placed_on(cells, today),
        area=area,
        action_rate=action_rate,
        lon=lon,
        lat=lat,
        use=cells.choice("use", USES),
        run_on_m2=_run_on(cells),
        heavy_trees=_answer(cells, "heavy_trees"),
        winter_sand=_answer(cells, "winter_sand"),
        bare_soil_run_on=_answer(cells, "bare_soil_run_on"),
        written=cells.written,
        empties=cells.empties,
        system=area_system or rate_system,
        is_sound=cells.is_sound,  # the last of them: all cells are read by now
    )


def _placed_on(cells: Cells, today: date) -> date | None:
    day = cells.value("placed_on", read_day, must_be_filled=True)
    if day is not None and day > today:
        cells.fault("placed_on", f"{day} lies in the future.", "Write the day it was placed.")
    return day


def _answer(cells: Cells, column: str) -> str:
    return cells.choice(column, ANSWERS)


def _above_zero(
    cells: Cells, quantity: Written | None, columns: tuple[str, str], what: str
) -> None:
    if quantity is not None and quantity.value <= 0:
        mend = "Write nk if it is not known."
        cells.fault(cells.filled(columns), f"{what} must be above zero.", mend)


def _ask_about_level(cells: Cells, level: Written | None) -> None:
    """Ask where a level in the other unit would be likelier: every word on a page hangs on it."""
    slip = level_slip(level.si) if level is not None and level.value > 0 else None
    if slip is not None:
        cells.doubt(cells.filled(ACTION_RATE), slip.message, slip.mend)


def _ask_about_area(cells: Cells, area: Written | None) -> None:
    if area is not None and area.si > LARGEST_M2:
        message = f"{area.value:.10g} {area.unit} is more than a square kilometre."
        cells.doubt(cells.filled(AREA), message, "Look at the number and its unit.")


def _run_on(cells: Cells) -> float | None:
    written, _ = cells.quantity(("run_on_m2", "run_on_ft2"), Kind.AREA, "run_on_m2")
    return None if written is None else written.si


_DEGREES = re.compile(r"([+-]?)([\d.,]+)")


def _degrees(text: str) -> float:
    parts = _DEGREES.fullmatch(tidy(text))
    if parts is None:
        raise DomainError(f"“{text}” is not a number of degrees; write -92.9187.")
    # One reading, or a decimal point: degrees have no thousands.
    readings = number_readings(parts[2], text)
    if len(readings) > 1 and readings[0][0] != "decimal point":
        choices = tuple((f"{value:.10g} ({how})", value) for how, value in readings)
        raise Ambiguous(f"“{text}” can be read two ways. Write a decimal point.", choices)
    return -readings[0][1] if parts[1] == "-" else readings[0][1]


def _position(cells: Cells) -> tuple[float | None, float | None]:
    lon, lat = cells.value("lon", _degrees), cells.value("lat", _degrees)
    given = [bool(cells.raw(name)) and name not in cells.empties for name in ("lon", "lat")]
    if given[0] != given[1]:
        lacking = "lat" if given[0] else "lon"
        cells.fault(lacking, "Of a position one half is missing.", "Fill in both, or neither.")
    if lon is not None and not -180 <= lon <= 180:
        cells.fault("lon", f"{lon:g} is no longitude.", "It lies between -180 and 180 degrees.")
    if lat is not None and not -90 <= lat <= 90:
        cells.fault("lat", f"{lat:g} is no latitude.", "It lies between -90 and 90 degrees.")
    if lon == 0 == lat:
        cells.doubt("lon", "0, 0 lies in the open sea.", "Leave both blank if nobody knows.")
    return lon, lat
