"""Tables 1C, 1D and 1E of the invented town (Cooper's Yard north lot), read for the tests.

Eleven panels of 12 ft in each of four lanes of 12 ft, datum line at the foot of the lanes.
"""

import csv
from datetime import date, datetime
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

from registry.placing import DryingWeather, LoadShares, LoadTimes, LoadWater, Spread, lay_over
from registry.plan import Panel, grid
from registry.units import System

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "demo"
FOOT_M = 0.3048
SITE = ZoneInfo("America/New_York")
EARLY, SPRING, AUTUMN = date(2023, 10, 3), date(2024, 4, 18), date(2024, 10, 9)
LAG, WAIT = "longest min discharge to cover", "min batch to discharge"
DRYING = "evaporation lb/ft²/h"


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def spreads() -> list[Spread]:
    found = []
    for row in table("1C_loads"):
        for written in row["placed (lane, ft from datum line)"].split(";"):
            lane, feet = written.split()
            begin, end = (float(part) * FOOT_M for part in feet.split("-"))
            found.append(Spread(row["load"], lane, begin, end))
    return found


@cache
def panels() -> tuple[Panel, ...]:
    return grid(4, 11, 12 * FOOT_M, 12 * FOOT_M, placed_on=date(2023, 8, 22))


@cache
def shares() -> LoadShares:
    return lay_over(spreads(), panels())


def raveled(on: date) -> dict[str, float]:
    return {row["panel"]: int(row[f"raveled % {on}"]) / 100 for row in table("1D_panels")}


def taped(by_panel: dict[str, float]) -> dict[str, str]:
    return dict.fromkeys(by_panel, "outline")


def in_zone() -> list[str]:
    return [row["panel"] for row in table("1D_panels") if row["plow or salt zone"]]


def times(row: dict[str, str]) -> LoadTimes:
    def at(column: str) -> datetime:
        return datetime.fromisoformat(f"{row['day']} {row[column]}").replace(tzinfo=SITE)

    columns = ("batched", "arrived", "discharge from", "to", "cover first ft", "cover last ft")
    return LoadTimes(*(at(column) for column in columns))


def weather(row: dict[str, str]) -> DryingWeather:
    return DryingWeather(
        System.INCH_POUND,
        air=float(row["air °F"]),
        concrete=float(row["concrete °F"]),
        humidity_percent=float(row["RH %"]),
        wind=float(row["wind mph"]),
    )


def water(row: dict[str, str]) -> LoadWater:
    return LoadWater(
        System.INCH_POUND,
        cementitious=610,
        load_volume=float(row["yd³"]),
        batch_water=float(row["batch water lb (incl. aggregate moisture)"]),
        free_moisture=0,
        site_water=float(row["site water gal"]),
    )
