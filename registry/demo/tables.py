"""The tables of the town as written, and how their cells are read."""

import csv
import re
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from django.conf import settings

from registry.faults import DomainError
from registry.units import Kind, System, to_si

FOLDER = Path(settings.BASE_DIR) / "fixtures" / "demo"
ZONE = ZoneInfo("America/New_York")
NOTHING = ("", "-")

Line = dict[str, str]


class TablesMissing(DomainError):
    """The demonstration is part of a checkout; an installed image has no tables."""


def read_table(name: str) -> list[Line]:
    """Return the lines of a table by its name, "2B_tests", each cell as written."""
    path = FOLDER / f"{name}.csv"
    if not path.is_file():
        raise TablesMissing(f"The table {path} is not here. It is part of a checkout.")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> float | None:
    """Return a number as these tables write it: 6,336 or 40.03; None for an empty cell.

    The thousands comma is the habit of their area columns; "11,98" stands in a remark only.
    """
    return None if text in NOTHING else float(text.replace(",", ""))


def day(text: str) -> date:
    """Return the first day of a cell: 2025-05-13/14 begins on the 13th."""
    return date.fromisoformat(text[:10])


def last_day(text: str) -> date:
    """Return the last day of a cell: 2020-06-09/10 and "2023-08-22, 2023-08-24"."""
    if (short := re.fullmatch(r"(\d{4}-\d{2}-)\d{2}/(\d{2})", text)) is not None:
        return date.fromisoformat(short[1] + short[2])
    return date.fromisoformat(re.findall(r"\d{4}-\d{2}-\d{2}", text)[-1])


def clock(on: date, text: str) -> datetime | None:
    """Return the instant of a local time of day, 13:40, or None where no clock was written."""
    if text in NOTHING:
        return None
    return datetime.fromisoformat(f"{on.isoformat()}T{text}").replace(tzinfo=ZONE)


def midnight(on: date) -> datetime:
    """Return the first instant of a local day."""
    return datetime(on.year, on.month, on.day, tzinfo=ZONE)


def feet(length_ft: float) -> float:
    """Return feet in metres."""
    return to_si(length_ft, Kind.LENGTH, System.INCH_POUND)


def square_feet(area_ft2: float) -> float:
    """Return square feet in square metres."""
    return to_si(area_ft2, Kind.AREA, System.INCH_POUND)


def inches_an_hour(rate: float) -> float:
    """Return in/h of rain in mm/h."""
    return to_si(rate, Kind.INTENSITY, System.INCH_POUND)
