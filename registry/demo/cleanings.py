"""The cleanings of the town's tables, with the panels they covered and the tests around them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Q

from registry.actions.move_work_order import move_work_order
from registry.actions.record_cleaning import record_cleaning
from registry.demo.ground import GROUNDS
from registry.demo.orders import Ask, carry_out, date_order
from registry.demo.people import MANAGER, Cast
from registry.demo.statements import sent_on
from registry.demo.tables import NOTHING, Line, day, number, read_table, square_feet
from registry.models import (
    Cleaning,
    CleaningMethod,
    InfiltrationTest,
    Panel,
    Pavement,
    WorkOrder,
)
from registry.models.cleaning import RESTORATIVE
from registry.units import Kind, System, to_si

METHODS = (
    ("joint stone refilled", CleaningMethod.JOINT_STONE),
    ("pressure wash and vacuum", CleaningMethod.WASH_AND_VACUUM),
    ("walk-behind vacuum", CleaningMethod.WALK_BEHIND),
    ("blower and hand vacuum", CleaningMethod.BROOM),
    ("full vacuum", CleaningMethod.VACUUM),
    ("regenerative-air sweeper", CleaningMethod.REGENERATIVE_AIR),
    ("turned away", CleaningMethod.REGENERATIVE_AIR),
)
ROWS = {"C-06": "ABC", "C-12": "ABC", "C-17": "CD"}
"""Rows swept: as the remark says for C-06 and C-17; three rows of ten by the area for C-12."""
LOOKS: dict[str, dict[str, Any]] = {
    "C-01": {"debris_look": "leaf", "debris_wet": "wet"},
    "C-04": {"reason": "leaf", "debris_look": "leaf"},
    "C-05": {"reason": "after_sand"},
    "C-13": {"surface": "damp", "last_rain": "20 h before"},
    "C-16": {"reason": "leaf", "debris_look": "leaf"},
    # The remark of C-07 leaves out what was swept, so the whole pavement is not claimed.
    "C-07": {"covers_all": False, "rows_text": "not written", "debris_bags": 3},
    "C-10": {"covers_all": False, "rows_text": "1,800 ft², rows not written"},
    "C-06": {"cost": "1944.00"},
    "C-12": {"cost": "3888.00"},
    "C-11": {
        "state": "turned_away",
        "why_not": "14 cars in the stalls",
        "cost": "350.00",
        "passes": None,
    },
}


@dataclass
class Visit:
    """A cleaning not stored yet, with what stands beside it."""

    key: str
    author: str
    row: Cleaning
    rows: str = ""
    missed: dict[str, str] = field(default_factory=dict)
    order: WorkOrder | None = None
    before: Iterable[InfiltrationTest] = ()
    after: Iterable[InfiltrationTest] = ()


def record_managed_cleanings(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Store table 2C. Sweepers are hired by the manager, who writes them down."""
    numbers = {ground.manager: ground for ground in GROUNDS if ground.manager}
    for line in read_table("2C_cleanings"):
        ground = numbers[line["pavement"]]
        row = _managed(line)
        row.pavement = pavements[ground.key]
        row.submitted_on = sent_on(ground.town, row.done_on)
        visit = Visit(
            ground.key,
            MANAGER,
            row,
            rows=ROWS.get(row.number, ""),
            before=_tests(row, line["before"], is_before=True),
            after=_tests(row, line["after"], is_before=False),
        )
        visit.order = _order(visit, cast)
        store(visit, cast)
        if not row.is_cleaning:
            # The wash of the same autumn was asked for anew.
            author = cast.as_author(MANAGER)
            move_work_order(visit.order, to_state="dropped", on=row.done_on, **author)


def store(visit: Visit, cast: Cast) -> Cleaning:
    """Store what became of an order, or a cleaning that no order is known of."""
    row, author = visit.row, cast.as_author(visit.author)
    row.is_restorative = row.method in RESTORATIVE
    if visit.order is None:
        return record_cleaning(row, before_tests=visit.before, after_tests=visit.after, **author)
    if visit.rows:
        row.rows_text = f"rows {visit.rows[0]}-{visit.rows[-1]}"
    there = row.pavement.panels.standing().existing_on(row.done_on) if visit.missed else ()
    missed: dict[Panel, str] = {p: visit.missed[p.name] for p in there if p.name in visit.missed}
    return carry_out(
        visit.order, row, author, missed=missed, before=visit.before, after=visit.after
    )


def _order(visit: Visit, cast: Cast) -> WorkOrder:
    """Return the dated order behind a cleaning of table 2C; its number and days are invented."""
    row = visit.row
    fields: dict[str, Any] = {"passes": row.passes, "reason": row.reason}
    if not visit.rows and not row.covers_all:
        fields |= {"covers_all": False, "rows_text": row.rows_text}
    ask = Ask(row.pavement, row.done_on, row.method, rows=visit.rows, fields=fields)
    return date_order(ask, cast.as_author(visit.author))


def method_of(written: str) -> CleaningMethod:
    """Return the method meant by a table's words; joint stone refilled wins over its vacuum."""
    return next(method for words, method in METHODS if words in written)


def _managed(line: Line) -> Cleaning:
    done_on = day(line["date"])
    area = number(line["area ft²"].split()[0]) if line["area ft²"][0].isdigit() else None
    written = {
        "method": line["method"],
        "area_m2": line["area ft²"],
        "debris_m3": line["debris yd³"],
        "water_disposal": line["water"],
    }
    row = Cleaning(
        number=line["event"],
        done_on=done_on,
        method=method_of(line["method"]),
        passes=int(line["passes"]) if line["passes"] not in NOTHING else None,
        area_m2=square_feet(area) if area else None,
        hours_on_site=number(line["hours on site"]) or None,
        spoil_to="" if line["spoil to"] in NOTHING else line["spoil to"],
        note=line["note"],
        as_written={name: text for name, text in written.items() if text not in NOTHING},
    )
    if line["debris yd³"].replace(".", "").isdigit() and float(line["debris yd³"]) > 0:
        row.debris_m3 = to_si(float(line["debris yd³"]), Kind.VOLUME, System.INCH_POUND)
    for name, value in (*_water(line["water"]).items(), *LOOKS.get(row.number, {}).items()):
        setattr(row, name, value)
    if row.area_m2 is None and row.is_cleaning:
        row.empties = {"area_m2": "nk"}
    return row


def _water(written: str) -> dict[str, Any]:
    if written in NOTHING:
        return {}
    if written == "none":
        return {"water_disposal": "none"}
    gallons = number(written.split(" gal")[0])
    assert gallons is not None
    litres = to_si(gallons, Kind.LIQUID, System.INCH_POUND)
    return {"water_used_l": litres, "water_disposal": "decant_yard"}


def _tests(row: Cleaning, written: str, *, is_before: bool) -> list[InfiltrationTest]:
    """Return the tests named beside a cleaning: "U < 3.9, W 31", the nearest day of each point.

    Of a day in brackets that day's; an after test of the day itself says so in its reason.
    """
    if written in NOTHING:
        return []
    found = []
    stated_on = re.search(r"\((\d{4}-\d{2}-\d{2})\)", written)
    for point in re.findall(r"([UWM]) (?:< )?[\d.]+", written):
        tests = row.pavement.infiltration_tests.standing().filter(spot__name=point)
        if stated_on is not None:
            tests = tests.filter(started_on=stated_on[1])
        elif is_before:
            tests = tests.filter(started_on__lt=row.done_on).order_by("-started_on")
        else:
            same_day = Q(started_on=row.done_on, reason="after_cleaning")
            tests = tests.filter(Q(started_on__gt=row.done_on) | same_day).order_by("started_on")
        found += list(tests[:1])
    return found
