"""The four record files and their columns. Their names and units stay as they are.

Where a quantity has two columns, either may be filled in a row, never both. The words of a
choice are those of the tables, so that all that is stored can be written out and read again.
"""

from dataclasses import dataclass
from difflib import get_close_matches

from registry.models import Ended, Surface, TestMethod, Use
from registry.models.choices import Answer, StratumKind
from registry.units import System

PAVEMENTS, TESTS, SWEEPS, DEFECTS = "pavements", "infiltration_tests", "sweeps", "defects"
CLEANED_BY = ("broom", "regenerative_air", "vacuum", "wash_and_vacuum")
"""The methods of a sweep that files tell apart."""

ANSWERS = tuple(Answer.values)
SURFACES = tuple(Surface.values)
USES = tuple(Use.values)
METHODS = tuple(TestMethod.values)
ENDED = tuple(Ended.values)
STRATA = tuple(StratumKind.values)


@dataclass(frozen=True)
class Table:
    """One record file. Each entry of `required` is a column, or two of which one is needed."""

    name: str
    required: tuple[tuple[str, ...], ...]
    optional: tuple[str, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """Return every column in the order in which it is written out."""
        return (*(name for group in self.required for name in group), *self.optional)

    def missing(self, header: frozenset[str]) -> list[str]:
        """Return what a header lacks, in words."""
        return [" or ".join(group) for group in self.required if not header & set(group)]


def _required(*names: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(name.split("|")) for name in names)


TABLES: dict[str, Table] = {
    PAVEMENTS: Table(
        PAVEMENTS,
        _required("ref", "name", "site", "surface", "placed_on", "area_m2|area_ft2"),
        (
            "action_rate_mm_h",
            "action_rate_in_h",
            "lon",
            "lat",
            "use",
            "run_on_m2",
            "heavy_trees",
            "winter_sand",
            "bare_soil_run_on",
            "other_ref",
        ),
    ),
    TESTS: Table(
        TESTS,
        _required(
            "pavement_ref",
            "point",
            "started_at",
            "method",
            "ring_mm|ring_in",
            "water_kg|water_lb",
            "seconds",
            "ended",
        ),
        (
            "stratum",
            "panel",
            "right",
            "up",
            "prewet_kg",
            "prewet_lb",
            "prewet_seconds",
            "rain_within_24_h",
            "run",
            "note",
        ),
    ),
    SWEEPS: Table(
        SWEEPS,
        _required("pavement_ref", "done_at", "method"),
        ("panels", "surface_wet", "passes", "debris_m3", "debris_yd3", "note"),
    ),
    DEFECTS: Table(
        DEFECTS,
        _required("pavement_ref", "kind", "seen_on", "panel", "right", "up"),
        ("severity", "extent", "unit", "width_mm", "lip_mm", "state", "note"),
    ),
}
SYSTEM_OF_ENDING = {
    "mm_h": System.SI,
    "m2": System.SI,
    "m3": System.SI,
    "mm": System.SI,
    "kg": System.SI,
    "in_h": System.INCH_POUND,
    "ft2": System.INCH_POUND,
    "yd3": System.INCH_POUND,
    "in": System.INCH_POUND,
    "lb": System.INCH_POUND,
}
IN_ORDER = (PAVEMENTS, TESTS, SWEEPS, DEFECTS)


def stem(column: str) -> str:
    """Return a column's name without its unit: area_ft2 -> area, action_rate_in_h -> action_rate.

    An ending that is no unit of ours (area_sqft, water_g) is cut off as well.
    """
    for ending in SYSTEM_OF_ENDING:
        if column.endswith(f"_{ending}"):
            return column[: -len(ending) - 1]
    return column


SYSTEM_OF = {
    column: SYSTEM_OF_ENDING[column[len(stem(column)) + 1 :]]
    for table in TABLES.values()
    for column in table.columns
    if stem(column) != column
}
"""The system of every column that has a unit in its name."""


def advise(unknown: str, table: Table) -> str:
    """Return what may have been meant by a column that is none of a table's."""
    with_unit = [name for name in table.columns if stem(name) != name]
    meant = [n for n in with_unit if unknown == stem(n) or unknown.startswith(f"{stem(n)}_")]
    if meant:
        return f"Give the unit in the header, one of: {', '.join(meant)}."
    close = get_close_matches(unknown, table.columns, n=1)
    if close:
        return f"Was {close[0]} meant?"
    return f"The columns are: {', '.join(table.columns)}. Rename or delete it."


def table_of(stem_of_file: str, header: frozenset[str]) -> Table | None:
    """Return the table a file holds, by its name or else by the columns that only it requires."""
    if stem_of_file in TABLES:
        return TABLES[stem_of_file]
    fitting = [table for table in TABLES.values() if not table.missing(header)]
    known = [table for table in fitting if header <= set(table.columns)]
    return (known or fitting or [None])[0]  # type: ignore[list-item]
