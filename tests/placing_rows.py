"""The placing days of the demonstration's north lot as rows, out of their tables."""

import csv
import re
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from registry.models import Load, PlacingDay, RaveledShare, Spread, WeatherReading
from registry.units import Kind, System, to_si
from tests.factories import PanelFactory, PavementFactory, PlanFactory, SiteFactory

TABLES = Path(__file__).parents[1] / "fixtures" / "demo"
ZONE = ZoneInfo("America/New_York")
US = System.INCH_POUND
SIDE_M = to_si(12, Kind.LENGTH, US)
COLUMNS = {
    "batched": "batched_at",
    "arrived": "arrived_at",
    "discharge from": "discharge_from_at",
    "to": "discharge_to_at",
    "cover first ft": "cover_first_at",
    "cover last ft": "cover_last_at",
}


def table(name: str) -> list[dict[str, str]]:
    with (TABLES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def north_lot(*, with_shares: bool = True):
    """Return the pavement: four lanes of eleven panels, 18 loads, 132 raveled shares."""
    pavement = PavementFactory(site=SiteFactory(time_zone="America/New_York"))
    plan = PlanFactory(pavement=pavement)
    for nth, lane in enumerate("ABCD"):
        for number in range(11):
            PanelFactory(
                pavement=pavement,
                plan=plan,
                name=f"{lane}{number + 1}",
                right_m=nth * SIDE_M,
                up_m=number * SIDE_M,
                width_m=SIDE_M,
                length_m=SIDE_M,
            )
    days = {}
    for row in table("1C_loads.csv"):
        day = days.get(row["day"]) or _day(pavement, row["day"])
        days[row["day"]] = day
        _load(day, row)
    if with_shares:
        _shares(pavement)
    return pavement


def _day(pavement, on: str) -> PlacingDay:
    return PlacingDay.objects.create(
        pavement=pavement,
        system=US.value,
        placed_on=on,
        thickness_mm=to_si(6, Kind.SMALL_LENGTH, US),
        cover_within_min=20,
        covered_hours_required=168,
        water_cement_limit=0.33,
        density_approved_kg_m3=to_si(121.5, Kind.DENSITY, US),
        density_tolerance_kg_m3=to_si(5, Kind.DENSITY, US),
    )


def _load(day: PlacingDay, row: dict[str, str]) -> None:
    def clock(text: str) -> datetime:
        return datetime.fromisoformat(f"{row['day']} {text}").replace(tzinfo=ZONE)

    load = Load.objects.create(
        placing_day=day,
        system=US.value,
        number=row["load"],
        ticket=row["ticket"],
        order_on_day=int(row["load"]),
        volume_m3=to_si(float(row["yd³"]), Kind.VOLUME, US),
        cementitious_kg_m3=to_si(610, Kind.CONTENT, US),
        batch_water_kg=to_si(
            float(row["batch water lb (incl. aggregate moisture)"]), Kind.MASS, US
        ),
        free_moisture_kg=0,
        site_water_l=to_si(float(row["site water gal"]), Kind.LIQUID, US),
        density_kg_m3=to_si(float(row["fresh density lb/ft³"]), Kind.DENSITY, US),
        state="placed",
        **{column: clock(row[name]) for name, column in COLUMNS.items()},
    )
    WeatherReading.objects.create(
        placing_day=day,
        load=load,
        system=US.value,
        at=load.discharge_from_at,
        air_c=to_si(float(row["air °F"]), Kind.TEMPERATURE, US),
        humidity_percent=float(row["RH %"]),
        wind_km_h=to_si(float(row["wind mph"]), Kind.SPEED, US),
        concrete_c=to_si(float(row["concrete °F"]), Kind.TEMPERATURE, US),
        read_with="meter",
    )
    for lane, begin, end in re.findall(
        r"([A-D]) ([\d.]+)-([\d.]+)", row["placed (lane, ft from datum line)"]
    ):
        Spread.objects.create(
            load=load,
            lane=lane,
            from_m=to_si(float(begin), Kind.LENGTH, US),
            to_m=to_si(float(end), Kind.LENGTH, US),
        )


def _shares(pavement) -> None:
    rows = []
    for row in table("1D_panels.csv"):
        for name, text in row.items():
            if name.startswith("raveled % "):
                on, share = name.removeprefix("raveled % "), float(text) / 100
                rows.append(
                    RaveledShare(
                        pavement=pavement, panel=row["panel"], looked_on=on, share=share,
                        graded_by="tape",
                    )
                )  # fmt: skip
    RaveledShare.objects.bulk_create(rows)
