"""Rows of the file of infiltration tests."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime

from registry.exchange.cells import Cells
from registry.exchange.columns import ANSWERS, ENDED, METHODS, STRATA
from registry.exchange.pavement_rows import REF_LENGTH
from registry.exchange.run_notes import Front, read_front
from registry.exchange.serial_days import read_day, refuse_number
from registry.faults import Ambiguous, DomainError
from registry.measuring.reading import rates_of_times
from registry.models.reading_limits import beyond_limits
from registry.numerals import tidy, whole_number
from registry.units import (
    Kind,
    System,
    Written,
    read_elapsed,
    read_local_instant,
)

RING, WATER, PREWET = ("ring_mm", "ring_in"), ("water_kg", "water_lb"), ("prewet_kg", "prewet_lb")
MOST_RUNS = 20


@dataclass(slots=True)
class RunRow:
    """One run as its row has it, in the units of `system`; None and "" stand for not filled in."""

    row: int
    ref: str
    point: str
    started_on: date
    started_at: datetime | None
    method: str
    system: System
    ring: float | None
    water: float | None
    seconds: float | None
    ended: str
    stratum: str
    panel: str
    right: float | None
    up: float | None
    prewet_water: float | None
    prewet_seconds: float | None
    rain_within_24_h: str
    run: int | None
    note: str
    written: dict[str, str]
    empties: dict[str, str]
    is_sound: bool
    reason: str = ""
    water_left: float | None = None


def read_run(cells: Cells, zone: str, today: date) -> RunRow | None:
    """Return the row that `cells` stands on, each of its faults noted; None if it gives no day.

    zone   the IANA name of the site's local time
    today  the day at the site
    """
    ring, ring_in = cells.quantity(RING, Kind.RING, "ring", must_be_filled=True)
    water, water_in = cells.quantity(WATER, Kind.MASS, "water", must_be_filled=True)
    prewet, prewet_in = cells.quantity(PREWET, Kind.MASS, "prewet_water")
    system = _one_system(cells, ring_in, water_in, prewet_in)
    diameter, poured = _standard(ring), _standard(water)
    day, instant = read_moment(cells, "started_at", zone, today)
    row = RunRow(
        row=cells.row,
        ref=cells.text("pavement_ref", REF_LENGTH, required=True),
        point=cells.text("point", 40, required=True),
        started_on=day or today,
        started_at=instant,
        method=cells.choice("method", METHODS, required=True),
        system=system,
        ring=_possible(cells, RING, "ring", diameter, system),
        water=_possible(cells, WATER, "water", poured, system),
        seconds=_seconds(cells, "seconds", (diameter, poured, system)),
        ended=cells.choice("ended", ENDED, must_be_filled=True),
        stratum=cells.choice("stratum", STRATA),
        panel=cells.text("panel", 12),
        right=_measure(cells, "right"),
        up=_measure(cells, "up"),
        prewet_water=_possible(cells, PREWET, "prewet_water", _standard(prewet), system),
        prewet_seconds=_seconds(cells, "prewet_seconds"),
        rain_within_24_h=cells.choice("rain_within_24_h", ANSWERS),
        run=cells.value("run", _run),
        note=cells.text("note", 10_000),
        written=cells.written,
        empties=cells.empties,
        is_sound=True,
    )
    for column, name in (("point", row.point), ("panel", row.panel)):
        _ask_about_name(cells, column, name)
    front = read_front(row.note, row.ended)
    row.reason, row.water_left = front.reason, _left(cells, front, poured, system)
    row.is_sound = cells.is_sound  # the last of them: all cells are read by now
    return row if day is not None else None


_DAY = re.compile(r"\d{4}-\d{2}-\d{2}(?:[T ][\d:]+)?")


def _ask_about_name(cells: Cells, column: str, name: str) -> None:
    """Ask about a name that reads as a day: spreadsheet programs make one of 1-2 and of 3/5."""
    if _DAY.fullmatch(name):
        message = f"“{name}” reads as a day. A spreadsheet program may have made it out of a name."
        cells.doubt(column, message, "Give the column the format of text, and type the name anew.")


def _standard(written: Written | None) -> float | None:
    return None if written is None else written.standard


def _one_system(cells: Cells, *systems: System | None) -> System:
    given = [system for system in systems if system is not None]
    if len(set(given)) > 1:
        filled = [c for pair in (RING, WATER, PREWET) for c in pair if cells.raw(c)]
        cells.fault(
            ", ".join(filled),
            "Inch-pound and SI columns are mixed in one row.",
            "Write ring, water and prewet in the system in which the test was read.",
        )
    return next(iter(given), System.SI)


def _above_zero(cells: Cells, columns: tuple[str, ...], value: float | None) -> float | None:
    if value is not None and value <= 0:
        message = f"{value:g} is not above zero."
        cells.fault(cells.filled(columns), message, "Write what was read, or nm.")
        return None
    return value


def _possible(
    cells: Cells, columns: tuple[str, ...], name: str, value: float | None, system: System
) -> float | None:
    """Return a reading above zero and within what a ring test can give; else a fault and None."""
    value = _above_zero(cells, columns, value)
    beyond = beyond_limits(name, value, system) if value is not None else ""
    if beyond:
        cells.fault(cells.filled(columns), beyond, "Write what was read, or nm.")
        return None
    return value


def _left(cells: Cells, front: Front, poured: float | None, system: System) -> float | None:
    """Return the water left that the note tells of, less than was poured and in its unit."""
    if front.left is None:
        return None
    if front.system is not system:
        message = "The water left is told in the unit of the other system."
        cells.fault("note", message, "Write it in the unit in which the water was read.")
        return None
    if not 0 < front.left <= (front.left if poured is None else poured):
        message = f"{front.left:g} is no water left of what was poured."
        cells.fault("note", message, "Write what was read; no more can be left than was poured.")
        return None
    return front.left


Poured = tuple[float | None, float | None, System]
"""Ring, water, and the system of both."""


def _seconds(cells: Cells, column: str, poured: Poured | None = None) -> float | None:
    """Elapsed seconds; where a text can be read in more ways than one, a doubt and None.

    `poured`, of the test's own time, lets the doubt say which rate each reading gives.
    """
    seconds = cells.value(column, _elapsed, must_be_filled=poured is not None, may_be_doubtful=True)
    if isinstance(seconds, Ambiguous):
        given = "" if poured is None else f" {rates_of_times(seconds, *poured)}".rstrip()
        cells.doubt(
            column, seconds.message + given, "Until somebody says, no result is worked out of it."
        )
        return None
    return _possible(cells, (column,), column, seconds, System.SI)


_TIME_OF_DAY = re.compile(r"(\d{2}):(\d{2}):(\d{2})")


def _elapsed(text: str) -> float:
    """Seconds. A workbook's time of day may be hours and minutes, or minutes and seconds."""
    if (parts := _TIME_OF_DAY.fullmatch(text)) and parts[1] != "00" and parts[3] == "00":
        hours, minutes = int(parts[1]), int(parts[2])
        choices = (
            (f"{hours} min {minutes} s", 60.0 * hours + minutes),
            (f"{hours} h {minutes} min", 3600.0 * hours + 60 * minutes),
        )
        raise Ambiguous(
            f"“{text}” can be read as {choices[0][0]} or as {choices[1][0]}. Which is it?", choices
        )
    return read_elapsed(text)


def _measure(cells: Cells, column: str) -> float | None:
    """A length on the plan, in ft or m as the row's other readings are in feet or metres."""
    return cells.value(column, _length)


def _length(text: str) -> float:
    if not re.fullmatch(r"\d+([.,]\d+)?", text):
        raise DomainError(f"“{text}” is not a length; write ft or m without the unit: 3.2.")
    return float(text.replace(",", "."))


def _run(text: str) -> int:
    if (whole_number(text) or 0) not in range(1, MOST_RUNS + 1):
        raise DomainError(f"“{text}” is no number of a run; runs of a day count 1, 2.")
    return int(text)


_DAY_ALONE = re.compile(r"[\d/.\-]{6,10}")


def read_moment(
    cells: Cells, column: str, zone: str, today: date
) -> tuple[date | None, datetime | None]:
    """Return the local day and the instant (UTC) of a cell; a day alone has no instant.

    An hour that came twice that night is a doubt: the day is kept and the clock is asked for.
    """
    moment = cells.value(column, lambda text: _moment(text, zone), required=True, depends_on=zone)
    if moment is None:
        return None, None
    day, instant, doubt = moment
    if doubt:
        cells.doubt(column, doubt, "Until somebody says, it counts for its day, without a clock.")
    if day > today:
        cells.fault(column, f"{day} lies in the future.", "Write the day on which it was done.")
    return day, instant


def _moment(text: str, zone: str) -> tuple[date, datetime | None, str]:
    if _DAY_ALONE.fullmatch(tidy(text)):
        return read_day(text), None, ""
    refuse_number(text)
    try:
        local = read_local_instant(text, zone)
    except Ambiguous as twice:
        first = twice.choices[0][1]
        if isinstance(first, datetime):
            return first.date(), None, twice.message
        raise
    return local.date(), local.astimezone(UTC), ""
