"""Stops of crew-days as CSV: day, crew, order of stop, times, site, rows, access notes.

Times are local to the stop with their offset from UTC (ISO 8601), so that an hour that comes twice
stays clear. Text cells are guarded: a spreadsheet program runs none of them.
"""

import csv
import io
from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from registry.exchange.guarded_text import guard
from registry.gathering.crew_day import CrewDay, DayStop
from registry.gathering.stop_words import place_words, stop_words
from registry.units import System

COLUMNS = (
    "day", "crew", "stop", "kind", "drive_min", "arrives_at", "begins_at", "ends_at", "order",
    "pavement", "site", "address", "method", "rows", "area", "passes", "access_notes",
)  # fmt: skip


def round_csv(days: Iterable[CrewDay], system: System) -> str:
    """Return the file of some crew-days: a line a stop, lengths and weights in one system."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for day in days:
        for stop in day.stops:
            line = _line(day, stop, system)
            writer.writerow([line.get(name, "") for name in COLUMNS])
    return text.getvalue()


def _line(day: CrewDay, stop: DayStop, system: System) -> dict[str, str | int]:
    told: dict[str, str] = {"kind": stop.kind, "crew": str(day.crew)}
    if stop.order is not None:
        words = stop_words(stop.order, day.on, system, stop.rest)
        told |= {
            "order": words.order,
            "pavement": words.pavement,
            "site": words.site,
            "address": words.address,
            "method": words.method,
            "rows": words.rows,
            "area": words.area,
            "passes": words.passes,
            "access_notes": words.access_notes,
        }
    elif stop.place is not None:
        told |= {"site": str(stop.place), "access_notes": place_words(stop.place)}
    times = {name: _local(getattr(stop, name), stop.zone) for name in COLUMNS if name[-3:] == "_at"}
    drive = "" if stop.drive_min is None else stop.drive_min
    counted: dict[str, str | int] = {"stop": stop.number, "drive_min": drive}
    guarded: dict[str, str | int] = {name: guard(text) for name, text in told.items()}
    return {"day": day.on.isoformat(), **times, **counted, **guarded}


def _local(at: datetime | None, zone: str) -> str:
    return "" if at is None else at.astimezone(ZoneInfo(zone)).isoformat(timespec="minutes")
