"""Rows of the file of sweeps."""

from dataclasses import dataclass
from datetime import date, datetime

from registry.exchange.cells import Cells
from registry.exchange.columns import ANSWERS, CLEANED_BY
from registry.exchange.pavement_rows import REF_LENGTH
from registry.exchange.run_rows import read_moment
from registry.faults import DomainError
from registry.numerals import whole_number
from registry.units import Kind

MOST_PASSES = 100


@dataclass(slots=True)
class SweepRow:
    """One cleaning as its row has it; None and "" stand for not filled in."""

    row: int
    ref: str
    done_on: date
    started_at: datetime | None
    method: str
    panels: str
    surface_wet: str
    passes: int | None
    debris_m3: float | None
    note: str
    written: dict[str, str]
    empties: dict[str, str]
    is_sound: bool


def read_sweep(cells: Cells, zone: str, today: date) -> SweepRow | None:
    """Return the row that `cells` stands on, or None, as `read_run` does."""
    day, instant = read_moment(cells, "done_at", zone, today)
    debris, _ = cells.quantity(("debris_m3", "debris_yd3"), Kind.VOLUME, "debris_m3")
    row = SweepRow(
        row=cells.row,
        ref=cells.text("pavement_ref", REF_LENGTH, required=True),
        done_on=day or today,
        started_at=instant,
        method=cells.choice("method", CLEANED_BY, required=True),
        panels=cells.text("panels", 240),
        surface_wet=cells.choice("surface_wet", ANSWERS),
        passes=cells.value("passes", _passes),
        debris_m3=debris.si if debris else None,
        note=cells.text("note", 10_000),
        written=cells.written,
        empties=cells.empties,
        is_sound=cells.is_sound,  # the last of them: all cells are read by now
    )
    return row if day is not None else None


def _passes(text: str) -> int:
    if (whole_number(text) or 0) not in range(1, MOST_PASSES + 1):
        raise DomainError(f"“{text}” is no number of passes.")
    return int(text)
