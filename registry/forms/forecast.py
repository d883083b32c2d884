"""An hourly forecast as a table, typed, pasted or brought as a file: columns named with units."""

import csv
import io
import re
from dataclasses import dataclass
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.faults import DomainError
from registry.forms.quantity import ClockField, DayField
from registry.numerals import number_readings, settle
from registry.units import Kind, read_quantity

MOST_ROWS, MOST_BYTES = 200, 60_000
HELP = (
    "First line: the columns, with their units. Then one line an hour, parted by commas, "
    "semicolons or tabs. Or bring the same as a CSV file below."
)
EXAMPLE = "time, air °F, humidity %, wind mph, concrete °F\n06:00, 61, 84, 2, 70"
COLUMNS = {
    "time": ("time", "hour", "clock"),
    "air": ("air", "temperature", "temp"),
    "humidity": ("humidity", "rh"),
    "wind": ("wind", "wind speed"),
    "concrete": ("concrete", "concrete temperature"),
}
UNITS = {
    "air": (Kind.TEMPERATURE, "air °F or air °C"),
    "wind": (Kind.SPEED, "wind mph or wind km/h"),
    "concrete": (Kind.TEMPERATURE, "concrete °F or concrete °C"),
}
NEEDED = ("time", "air", "humidity", "wind")
_HEAD = re.compile(r"(.+?)[\s_]*(?:[(\[]([^)\]]+)[)\]]|(°?[FC]|deg[FC]|mph|km/h|kmh|km_h|%))?")
_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
_SIGNS = {"f": "°F", "c": "°C", "degf": "°F", "degc": "°C", "kmh": "km/h", "km_h": "km/h"}


@dataclass(frozen=True)
class ForecastRow:
    """One hour, SI; `on` where the line names its day."""

    nth: int
    on: date | None
    clock: str
    air_c: float
    humidity_percent: float
    wind_km_h: float
    concrete_c: float | None


class ForecastField(forms.CharField):
    """Cleans to the rows of a table, [] where it is blank; every cell that is wrong is named."""

    def __init__(self, **options: Any) -> None:
        attributes = {"rows": 8, "placeholder": EXAMPLE, "autocomplete": "off"}
        options.setdefault("widget", forms.Textarea(attrs=attributes))
        options.setdefault("help_text", HELP)
        super().__init__(required=False, max_length=MOST_BYTES, **options)

    def clean(self, value: Any) -> list[ForecastRow]:
        """Read the table."""
        return read_forecast(super().clean(value))


def text_of(file: Any) -> str:
    """Return the text of a file that was brought. Raises ValidationError where it is none."""
    if file.size > MOST_BYTES:
        raise ValidationError("This file is too large for a forecast of some days.")
    try:
        return str(file.read().decode("utf-8-sig"))
    except UnicodeDecodeError as fault:
        raise ValidationError(
            "This file is no text. Bring it as CSV, in UTF-8: a workbook is saved as CSV first."
        ) from fault


def read_forecast(text: str) -> list[ForecastRow]:
    """Read a table. Raises ValidationError with row and column of each cell that is wrong."""
    lines = [(nth, line) for nth, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if not lines:
        return []
    if len(lines) > MOST_ROWS + 1:
        raise ValidationError(f"More than {MOST_ROWS} hours: bring those of the day alone.")
    head, *rows = [(nth, _cells(line, lines[0][1])) for nth, line in lines]
    columns = _columns(head[1])
    if not rows:
        raise ValidationError("There is no hour below the names of the columns.")
    found, wrong = [], []
    for nth, cells in rows:
        try:
            found.append(_row(nth, cells, columns))
        except ValidationError as fault:
            wrong += fault.messages
    wrong = wrong or _repeated(found)
    if wrong:
        raise ValidationError(wrong)
    return found


def _cells(line: str, head: str) -> list[str]:
    """Part a line by the sign that parts the first line."""
    sign = next((sign for sign in ("\t", ";") if sign in head), ",")
    return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=sign))]


def _columns(head: list[str]) -> dict[str, tuple[int, str]]:
    """Return column to (place, unit)."""
    found: dict[str, tuple[int, str]] = {}
    wrong = []
    for place, cell in enumerate(head):
        match = _HEAD.fullmatch(cell.strip())
        name = match[1].strip().casefold() if match else ""
        column = next((key for key, words in COLUMNS.items() if name in words), None)
        if column is None or match is None:
            continue  # a further column of the file; what is needed is asked for below
        unit = (match[2] or match[3] or "").strip()
        if column in found:
            wrong.append(f"Row 1: there are two columns “{column}”.")
        if column in UNITS and not unit:
            wrong.append(f"Row 1, column “{cell}”: write its unit behind it, {UNITS[column][1]}.")
        found[column] = (place, _SIGNS.get(unit.casefold(), unit))
    missing = [name for name in NEEDED if name not in found]
    if missing:
        wrong.append(
            f"Row 1 names no column {', '.join(missing)}. It reads: time, air °F, humidity %, "
            "wind mph, and if you have it concrete °F; or the same in °C and km/h."
        )
    if wrong:
        raise ValidationError(wrong)
    return found


def _row(nth: int, cells: list[str], columns: dict[str, tuple[int, str]]) -> ForecastRow:
    wrong: list[str] = []
    values: dict[str, Any] = {}
    for name, (place, unit) in columns.items():
        cell = cells[place] if place < len(cells) else ""
        try:
            values[name] = _value(name, cell, unit)
        except ValidationError as fault:
            wrong += [f"Row {nth}, column “{name}”: {words}" for words in fault.messages]
    if wrong:
        raise ValidationError(wrong)
    on, clock = values["time"]
    return ForecastRow(
        nth, on, clock, values["air"], values["humidity"], values["wind"], values.get("concrete")
    )


def _value(name: str, cell: str, unit: str) -> Any:
    if not cell and name == "concrete":
        return None
    if not cell:
        raise ValidationError("It is blank.")
    if name == "time":
        return _time(cell)
    try:
        if name == "humidity":
            return _percent(cell)
        return read_quantity(f"{cell} {unit}", UNITS[name][0]).si
    except DomainError as fault:
        raise ValidationError(fault.message) from fault


def _time(cell: str) -> tuple[date | None, str]:
    words = cell.replace("T", " ").split()
    if len(words) > 2:
        raise ValidationError(f"“{cell}” is no clock time. Write 07:00, or 2023-08-22 07:00.")
    clock = str(ClockField().clean(words[-1]))
    if not _CLOCK.fullmatch(clock):
        raise ValidationError(f"“{cell}” is no clock time. Write 07:00, or 2023-08-22 07:00.")
    return (DayField().clean(words[0]) if len(words) == 2 else None), clock


def _percent(cell: str) -> float:
    text = cell.removesuffix("%").strip()
    if not set(text) <= set("0123456789.,"):
        raise ValidationError(f"“{cell}” is not a number.")
    value = settle(number_readings(text, cell), cell, lambda number: number <= 100, "%")
    if value > 100:
        raise ValidationError(f"“{cell}” is out of range: 0 to 100.")
    return value


def _repeated(rows: list[ForecastRow]) -> list[str]:
    seen: dict[tuple[date | None, str], int] = {}
    wrong = []
    for row in rows:
        first = seen.setdefault((row.on, row.clock), row.nth)
        if first != row.nth:
            wrong.append(f"Row {row.nth}: {row.clock} stands in row {first} already.")
    return wrong
