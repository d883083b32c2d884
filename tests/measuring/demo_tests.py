"""The tests of an invented town, as its people wrote it: 140 tests of ten pavements."""

import csv
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from registry.measuring import Ended, Method, RingReading
from registry.units import Ambiguous, System, read_date, read_elapsed, read_local_instant

TABLE = Path(__file__).parents[2] / "fixtures" / "demo" / "2B_tests.csv"
ZONE = "America/New_York"


@dataclass(frozen=True)
class Row:
    """One line of the table; `reading` is None where the test was not done."""

    number: str
    pavement: str
    point: str
    on: date
    at: datetime | None
    reading: RingReading | None
    time_as_written: str
    printed: str
    used: str
    note: str


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _ended(text: str) -> Ended:
    return Ended.STOPPED if text.startswith("stopped") else Ended.DRAINED


def _seconds(text: str) -> float | None:
    """As typed: 3.42 is asked about by the reader, and taken here as the table prints it."""
    typed = text.removesuffix(" (typed)")
    try:
        return read_elapsed(typed)
    except Ambiguous as question:
        return float(question.choices[0][1])


def _reading(line: dict[str, str]) -> RingReading | None:
    if line["ended"] == "not done":
        return None
    left = "5.1" if "5.1 lb left" in line["ended"] else ""
    method = Method.C1781 if "C1781" in line["note"] else Method.C1701
    if line["water"] == "5 gal pail":
        method = Method.QUICK_POUR
    return RingReading(
        system=System.SI if line["units"] == "SI" else System.INCH_POUND,
        method=method,
        ended=_ended(line["ended"]),
        ring=_number(line["ring ID"]),
        water=_number(line["water"].split(" ")[0]) if method is not Method.QUICK_POUR else None,
        seconds=_seconds(line["time s"]),
        water_left=_number(left),
        prewet_seconds=_number(line["prewet s"]),
    )


def rows() -> dict[str, Row]:
    with TABLE.open(encoding="utf-8", newline="") as table:
        lines = list(csv.DictReader(table))
    return {line["test"]: _row(line) for line in lines}


def _row(line: dict[str, str]) -> Row:
    at = read_local_instant(f"{line['date']} {line['start']}", ZONE) if line["start"] else None
    return Row(
        number=line["test"],
        pavement=line["pavement"],
        point=line["point"],
        on=read_date(line["date"]),
        at=at,
        reading=_reading(line),
        time_as_written=line["time s"],
        printed=line["rate in/h"],
        used=line["used for trend?"],
        note=line["note"],
    )
