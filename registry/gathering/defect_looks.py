"""Looks at a defect, for show: what was measured, the severity, and the rule that gave it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

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


def last_telling(looks: Iterable[Observation], name: str) -> Observation | None:
    """Return the last look that found it and tells a measure or the severity; None where none does.

    looks: oldest first. A look that only says that it is still there takes nothing away.
    """
    found = [look for look in looks if look.found == Observation.Found.FOUND]
    telling = [look for look in found if getattr(look, name) not in (None, "")]
    return telling[-1] if telling else None


def days_told(found_on: date, measured_on: date | None, graded_on: date | None) -> str:
    """Return of which days extent and severity are, "" where they are of the last look.

    "measured 2025-05-03", "measured 2025-05-03, graded 2024-04-18"
    """
    measured, graded = (on if on != found_on else None for on in (measured_on, graded_on))
    if measured is not None and measured == graded:
        graded = None
    days = (("measured", measured), ("graded", graded))
    return ", ".join(f"{word} {on.isoformat()}" for word, on in days if on is not None)


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
