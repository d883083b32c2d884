"""What a dossier is made of: cells, rows of them by kind and name, figures with their inputs.

An input points to the cell or the figure it was taken from, so that both can be held together.
Units are written without raised signs ("ft2") so that plain programs read them.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from registry.placing import NotGiven
from registry.unit_table import FOOT, POUND

Value = Any
"""A number, words, truth, nothing, or a list of these: what JSON can hold."""
Row = Mapping[str, "Cell"]

_YARD = 0.9144
UNITS: dict[str, tuple[str, float, float]] = {
    "m": ("length", 1.0, 0.0),
    "mm": ("length", 0.001, 0.0),
    "ft": ("length", FOOT, 0.0),
    "in": ("length", 0.0254, 0.0),
    "m2": ("area", 1.0, 0.0),
    "ft2": ("area", FOOT**2, 0.0),
    "m3": ("volume", 1.0, 0.0),
    "yd3": ("volume", _YARD**3, 0.0),
    "L": ("liquid", 1.0, 0.0),
    "gal": ("liquid", 3.785411784, 0.0),
    "kg": ("mass", 1.0, 0.0),
    "lb": ("mass", POUND, 0.0),
    "kg/m3": ("density", 1.0, 0.0),
    "lb/ft3": ("density", POUND / FOOT**3, 0.0),
    "lb/yd3": ("density", POUND / _YARD**3, 0.0),
    "degC": ("heat", 1.0, 0.0),
    "degF": ("heat", 5 / 9, -32.0),
    "km/h": ("speed", 1.0, 0.0),
    "mph": ("speed", 1.609344, 0.0),
}
"""Unit: what it measures, factor to the unit kept, offset before it."""

_SIGNS = {
    "m2": "m²",
    "ft2": "ft²",
    "m3": "m³",
    "ft3": "ft³",
    "yd3": "yd³",
    "degF": "°F",
    "degC": "°C",
}


def converted(value: float, unit: str, wanted: str) -> float:
    """A value in another unit of its kind. ValueError where it is of another kind."""
    if unit == wanted:
        return value
    (kind, factor, offset), (other, divisor, shift) = UNITS[unit], UNITS[wanted]
    if kind != other:
        raise ValueError(f"{unit} is no {wanted}")
    return (value + offset) * factor / divisor - shift


@dataclass(frozen=True)
class Cell:
    """One field: as read, the text as written, its unit, and which kind of empty it is."""

    read: Value
    written: str = ""
    unit: str = ""
    empty: str = ""

    @property
    def shown(self) -> str:
        """As written where somebody wrote it, else as read, else why it is empty."""
        if self.written:
            return self.written
        if self.read is None or self.read == "":
            return self.empty
        if isinstance(self.read, bool):
            return "yes" if self.read else "no"
        if isinstance(self.read, float):
            return with_signs(f"{self.read:.6g} {self.unit}".strip())
        if isinstance(self.read, list):
            return ", ".join(str(one) for one in self.read)
        return with_signs(f"{self.read} {self.unit}".strip())


def with_signs(text: str) -> str:
    """Units as they stand on paper: "lb/ft³", "70 °F"."""
    for plain, sign in _SIGNS.items():
        text = re.sub(rf"(?<![A-Za-z]){plain}(?![A-Za-z0-9])", sign, text)
    return text


def words(text: Value, written: str = "") -> Cell:
    """A cell of words, a day or an instant with its offset."""
    return Cell(text, written)


def number(value: float | None, unit: str = "", written: str = "", empty: str = "") -> Cell:
    """A cell of a number."""
    return Cell(value, written, unit, empty if value is None else "")


def blank(empty: str = "") -> Cell:
    """A cell with nothing in it, and why."""
    return Cell(None, empty=empty)


@dataclass(frozen=True)
class Input:
    """What a figure took: where from, the value and the unit it was used in."""

    at: tuple[str, ...]
    value: Value
    unit: str = ""


Inputs = Mapping[str, Input | Sequence[Input]]


@dataclass(frozen=True)
class Figure:
    """One figure. `shown` is what stands on paper; `printed_as` says how it follows from `value`.

    printed_as  "duration", "days late", "p", "yes or no", "as it is", or a number of decimals:
                {"times": 100, "decimals": 1}
    """

    says: str
    formula: str
    inputs: Inputs
    value: Value
    unit: str
    shown: str
    printed_as: str | Mapping[str, float]
    constants: Mapping[str, Value] = field(default_factory=dict)


@dataclass
class Book:
    """Rows and figures of one dossier while it is put together.

    not_given  figures that may not be given, with the reason that stands in their place
    """

    rows: dict[str, dict[str, Row]] = field(default_factory=dict)
    figures: dict[str, Figure] = field(default_factory=dict)
    not_given: dict[str, str] = field(default_factory=dict)

    def add(self, kind: str, name: str, row: Row) -> str:
        """Store a row and return the name it got: a name that stands there already is numbered."""
        named = self.rows.setdefault(kind, {})
        free, nth = name, 2
        while free in named:
            free, nth = f"{name} ({nth})", nth + 1
        named[free] = row
        return free

    def of(self, kind: str) -> dict[str, Row]:
        """Rows of a kind by name, in the order added."""
        return self.rows.get(kind, {})

    def read(self, kind: str, name: str, cell: str, unit: str = "") -> Value:
        """What was read in a cell, in a unit; None where there is nothing."""
        found = self.of(kind)[name].get(cell)
        if found is None or found.read is None:
            return None
        is_number = isinstance(found.read, int | float) and not isinstance(found.read, bool)
        return converted(found.read, found.unit, unit) if is_number and unit else found.read

    def take(self, kind: str, name: str, cell: str, unit: str = "") -> Input:
        """A cell as an input."""
        used = unit or (found.unit if (found := self.of(kind)[name].get(cell)) else "")
        return Input((kind, name, cell), self.read(kind, name, cell, unit), used)

    def result(self, figure: str) -> Input:
        """Another figure as an input."""
        return Input((figure,), self.figures[figure].value, self.figures[figure].unit)

    def results(self, figures: Iterable[str]) -> tuple[Input, ...]:
        """Other figures as inputs."""
        return tuple(self.result(one) for one in figures)

    def give(self, name: str, figure: Figure | NotGiven) -> None:
        """Store a figure, or why there is none."""
        if isinstance(figure, NotGiven):
            self.not_given[name] = figure.reason
        else:
            self.figures[name] = replace(figure, shown=with_signs(figure.shown))

    def has(self, *figures: str) -> bool:
        """Say whether all of these are given."""
        return all(one in self.figures for one in figures)

    def value(self, figure: str) -> Value:
        """Value of a figure, None where it is not given."""
        return self.figures[figure].value if figure in self.figures else None

    def shown(self, figure: str) -> str:
        """What stands on paper for a figure: itself, the reason, or nothing."""
        if figure in self.figures:
            return self.figures[figure].shown
        return self.not_given.get(figure, "")


def decimals(count: int, times: float = 1) -> dict[str, float]:
    """The way a number is printed, to be kept with a figure."""
    return {"times": times, "decimals": count}


def printed(value: float, count: int, times: float = 1) -> str:
    """A number to so many decimals."""
    return f"{value * times:.{count}f}"
