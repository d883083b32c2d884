"""The town's crews, machines and places, hours of its sites, and seasons (tables 3G and 3H).

From the tables: head widths, speeds, shares of time at work, hours, the hydrant's permit no. 41,
the path's load limit. Invented: names of yards, their positions, the crews' split, tanks, hoppers.
"""

from dataclasses import dataclass
from datetime import date, time
from typing import Any

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.clock_hours import read_hours
from registry.demo.people import MANAGER, TOWN, Cast
from registry.demo.tables import feet, number, read_table
from registry.models import (
    Crew,
    CrewHoliday,
    Depot,
    DumpPlace,
    ExtraShift,
    Machine,
    Season,
    Site,
    SiteWindow,
    WaterPoint,
)
from registry.models.entry import Change
from registry.units import Kind, System, to_si

MACHINES = (
    ("sweeper 4", "full vacuum", ["vacuum", "joint_stone", "regenerative_air"]),
    ("path machine", "walk-behind vacuum", ["walk_behind_vacuum"]),
    ("wash unit", "pressure wash and vacuum", ["wash_and_vacuum", "wash_then_vacuum"]),
)
"""(own name, method in table 3G, methods it can do); the names are invented."""
MORE: dict[str, dict[str, Any]] = {
    "sweeper 4": {"hopper_m3": 3.0, "axle_kg": 5200.0, "height_m": 2.6, "width_m": 2.1},
    "path machine": {"hopper_m3": 0.3, "axle_kg": 700.0, "height_m": 1.5, "width_m": 1.0},
    "wash unit": {
        "hopper_m3": 2.0,
        "water_tank_l": 4500.0,
        "axle_kg": 6100.0,
        "height_m": 2.9,
        "width_m": 2.2,
        "hose_m": 60.0,
        "keeps_wash_water": True,
    },
}
CREWS = {"sweeping crew": "sweeper 4", "path crew": "path machine", "wash crew": "wash unit"}
WEEK = "Mon-Fri 07:00-15:30"
EXTRA = (
    ("sweeping crew", date(2026, 9, 14), time(5), time(13, 30), "the alley is free to 09:00"),
    ("sweeping crew", date(2026, 9, 19), time(7), time(11), "overtime, after the rain"),
    ("sweeping crew", date(2026, 9, 20), time(6), time(9), "the library is closed on Sunday"),
)
WINDOWS = (
    ("Fennel Street alley", "access", "Mon-Sat 05:00-09:00", "deliveries after"),
    ("Library", "access", "Sun", "closed that day"),
    ("Library", "access", "any day 00:00-08:00", "the library opens 09:00"),
    ("Millrace Park", "access", "Mon-Thu", "market from Friday on"),
    ("Heron School", "access", "Sat", "no school"),
    ("Heron School", "access", "Mon-Fri 09:30-14:00", "between the school runs"),
    ("Millrace Park", "noise", "any day 07:00-22:00", "noise rule of the town"),
)
"""Hours of table 3G; "market" and the noise rule are invented."""
POUNDS_ON_THE_PATH = 3000.0


@dataclass(frozen=True)
class Fleet:
    """What the town sweeps with, by name."""

    crews: dict[str, Crew]
    decant: DumpPlace
    transfer: DumpPlace
    hydrant: WaterPoint


def set_up_crews(cast: Cast, sites: dict[str, Site]) -> Fleet:
    """Store crews, machines and places of the town, hours of its sites and both calendars."""
    author, town = cast.as_author(TOWN), cast[TOWN]
    place = {"organisation": town, "note": "The position is invented."}
    depot = Depot(name="Town yard", address="40 Mill Ln", lat=44.0949, lon=-69.6341, **place)
    transfer = DumpPlace(
        name="Transfer yard", hours=read_hours("Mon-Fri 05:00-15:00"), unloading_min=20.0,
        lat=44.1021, lon=-69.6402, **place,
    )  # fmt: skip
    decant = DumpPlace(
        name="Decant yard", hours=read_hours("Mon-Fri 07:00-15:00"), unloading_min=30.0,
        takes_wash_water=True, lat=44.0958, lon=-69.6371, **place,
    )  # fmt: skip
    hydrant = WaterPoint(
        name="Mill Lane hydrant", owner=TOWN, permit="41", permit_from_on=date(2026, 9, 1),
        permit_last_on=date(2026, 10, 31), filling_min=25.0,
        hours=read_hours("any day 07:00-19:00"), lat=44.0947, lon=-69.6299, **place,
    )  # fmt: skip
    for row in (depot, transfer, decant, hydrant):
        add_entry(row, **author)
    crews = _crews(cast, depot)
    for name, on, begins, ends, why in EXTRA:
        shift = ExtraShift(
            organisation=town,
            crew=crews[name],
            on=on,
            from_clock=begins,
            to_clock=ends,
            because=why,
        )
        add_entry(shift, **author)
    day = date(2026, 9, 7)
    holiday = CrewHoliday(organisation=town, first_on=day, last_on=day, because="Labor Day")
    add_entry(holiday, **author)
    _hours(cast, sites)
    _seasons(cast)
    return Fleet(crews, decant, transfer, hydrant)


def _crews(cast: Cast, depot: Depot) -> dict[str, Crew]:
    author, town = cast.as_author(TOWN), cast[TOWN]
    planned = {line["method"]: line for line in read_table("3G_crew_round")}
    machines = {}
    for name, method, methods in MACHINES:
        line = planned[method]
        speed_mph = number(line["speed mph"]) or 0.0
        machines[name] = Machine(
            organisation=town,
            name=name,
            methods=methods,
            head_width_m=feet(number(line["head width ft"]) or 0.0),
            speed_km_h=to_si(speed_mph, Kind.SPEED, System.INCH_POUND),
            efficiency=number(line["efficiency"]),
            **MORE[name],
        )
        add_entry(machines[name], **author)
    return {
        name: add_entry(
            Crew(
                organisation=town,
                name=name,
                machine=machines[machine],
                depot=depot,
                shifts=read_hours(WEEK),
                breaks=[["11:30", "12:00"]],
            ),
            **author,
        )
        for name, machine in CREWS.items()
    }


def _hours(cast: Cast, sites: dict[str, Site]) -> None:
    author = cast.as_author(TOWN)
    for name, kind, hours, why in WINDOWS:
        row = SiteWindow(site=sites[name], kind=kind, hours=read_hours(hours), because=why)
        add_entry(row, **author)
    limit_kg = to_si(POUNDS_ON_THE_PATH, Kind.MASS, System.INCH_POUND)
    changes = {"heaviest_axle_kg": Change(limit_kg, "3,000 lb")}
    correct_entry(sites["Quay Walk"], changes=changes, why="path load limit", **author)


SEASONS: tuple[dict[str, Any], ...] = (
    {
        "name": "winter", "span": (1, 1, 2, 28),
        "methods_not": ["wash_and_vacuum", "wash_then_vacuum", "vacuum", "walk_behind_vacuum"],
        "ends_at": ["last_sand", "last_frost"],
        "to_do": "plow with shoes, no steel on the surface, least deicer",
        "not_to_do": "sweep; wash", "reason": "frost in the pores",
    },
    {
        "name": "after the last sand", "span": (3, 1, 4, 30),
        "begins_after": ["last_sand", "last_frost"],
        "methods": ["vacuum", "regenerative_air", "walk_behind_vacuum"],
        "methods_not": ["wash_and_vacuum", "wash_then_vacuum"],
        "to_do": "after the last sand and frost, sweep dry within 3 weeks",
        "not_to_do": "wet sweeping", "reason": "before a big rain washes the sand in",
    },
    {
        "name": "tests and catkins", "span": (5, 1, 5, 31),
        "methods": ["vacuum", "regenerative_air", "walk_behind_vacuum", "broom"],
        "to_do": "tests, inspection, catkins and pollen off", "reason": "pores are read dry",
    },
    {
        "name": "restorative", "span": (6, 1, 9, 30),
        "methods": [
            "wash_and_vacuum", "wash_then_vacuum", "moss_brushed", "joint_stone", "vacuum",
            "regenerative_air", "walk_behind_vacuum", "broom", "hand_tools",
        ],
        "to_do": "wash and vacuum; moss brushed when dry; repairs",
        "not_to_do": "wash within 28 days of placing", "reason": "warm, and dry days between",
    },
    {
        "name": "leaf fall", "span": (10, 1, 11, 30), "methods": ["broom", "hand_tools"],
        "to_do": "blow dry weekly",
        "not_to_do": "let wet leaves be driven on", "reason": "leaves are ground into the pores",
    },
    {
        "name": "last leaf", "span": (11, 1, 11, 30),
        "methods": ["vacuum", "regenerative_air", "walk_behind_vacuum"],
        "begins_after": ["leaf_down"],
        "to_do": "full vacuum when nine tenths are down, again at the last leaf",
        "reason": "the leaves are down",
    },
    {
        "name": "end of the year", "span": (12, 1, 12, 31),
        "methods_not": ["wash_and_vacuum", "wash_then_vacuum"], "begins_at": ["first_frost"],
        "to_do": "close the log, list open items",
        "not_to_do": "wash below 40 °F or with frost within 24 h", "reason": "water freezes",
    },
)  # fmt: skip
"""The calendar of a cold, wet, leafy climate (house rule, no source)."""


def _seasons(cast: Cast) -> None:
    for keeper in (TOWN, MANAGER):
        for season in SEASONS:
            fields = {name: value for name, value in season.items() if name != "span"}
            ends = ("from_month", "from_day", "to_month", "to_day")
            span = dict(zip(ends, season["span"], strict=True))
            row = Season(organisation=cast[keeper], **fields, **span)
            add_entry(row, **cast.as_author(keeper))
