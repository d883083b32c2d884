"""Looks at a defect, for show: what was measured, the severity, and the rule that gave it."""

from collections.abc import Sequence
from dataclasses import dataclass

from registry.defects import Grade, Measured, compare, grade, kind_of
from registry.defects.measured import WORDS
from registry.models import Observation
from registry.models.observation import MEASURES
from registry.units import Kind, System, show, show_number

CARD = ("crack_width_m", "typical_width_m")
"""Widths of cracks are read from a card and shown in mm in either system."""

SMALL = frozenset(("width_m", "lip_m", "depth_m", "size_m", "ravels_to_m"))
KINDS = {"area_m2": Kind.AREA, "length_m": Kind.LENGTH, "swept_kg": Kind.MASS}
UNITS = {"frame_points": " of 100", "water_minutes": " min"}
SAID = {"pours": Observation.Poured, "direction": Observation.Direction}
"""Measures that are words, with what is shown of them."""

EXTENT_OF = {"m2": "area_m2", "m": "length_m", "count": "count", "mm": "lip_m"}
"""Unit of a kind to the column that holds its extent."""


@dataclass(frozen=True)
class LookLine:
    """One look. `doubt` is a sentence where the eye and the measures disagree, else ""."""

    row: Observation
    measures: tuple[tuple[str, str], ...]
    grade: Grade
    doubt: str

    @property
    def words(self) -> str:
        """Return its measures in one line."""
        return ", ".join(f"{label} {text}" for label, text in self.measures)


def measured_of(look: Observation) -> Measured:
    """Return what a look measured."""
    return Measured(**{name: getattr(look, name) for name in MEASURES})


def look_lines(kind: str, looks: Sequence[Observation], system: System) -> tuple[LookLine, ...]:
    """Return the looks at a defect of a kind as lines, in the order given."""
    return tuple(_look_line(kind, look, system) for look in looks)


def _look_line(kind: str, look: Observation, system: System) -> LookLine:
    found = look.found == Observation.Found.FOUND
    graded = grade(kind, measured_of(look)) if found else Grade("")
    doubt = compare(look.severity, graded) if look.severity_by_eye and look.severity else ""
    measures = tuple(
        (WORDS[name].removeprefix("whether "), measure_words(name, value, system))
        for name in MEASURES
        if (value := getattr(look, name)) not in (None, "")
    )
    return LookLine(look, measures, graded, doubt)


def measure_words(name: str, value: float | bool | str, system: System) -> str:
    """Show one measure of a look: "0.35 in", "yes", "12 of 100"."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return str(SAID[name](value).label)
    if name in CARD:
        return show(1000 * value, Kind.SMALL_LENGTH, System.SI)
    if name in SMALL:
        return show(1000 * value, Kind.SMALL_LENGTH, system)
    if name in KINDS:
        return show(value, KINDS[name], system, digits=1 if name == "area_m2" else None)
    if name == "panel_share":
        return f"{100 * value:g} %"
    return f"{show_number(value, 0 if value == int(value) else 1)}{UNITS.get(name, '')}"


def extent_of(kind: str, look: Observation, system: System) -> str:
    """Return the extent of a look in the unit of its kind, "" where it was not measured."""
    name = EXTENT_OF[kind_of(kind).unit]
    value = getattr(look, name)
    return "" if value is None else measure_words(name, value, system)
