"""The placing record of the north lot of Cooper's Yard: tables 1C, 1D and 1F, as written.

The clock of each reading of the weather is taken to be that of the discharge; who stood at which
task is invented, and stays with the contractor.
"""

import re
from datetime import date, datetime
from typing import Any

from registry.actions.add_entries import add_entries
from registry.actions.move_signed import move_signed
from registry.demo.people import CONTRACTOR, Author, Cast
from registry.demo.tables import Line, clock, day, feet, number, read_table
from registry.models import (
    Cover,
    CoverBreak,
    CoverWalk,
    EarlyLoad,
    GradedBy,
    Load,
    Pavement,
    PlacingDay,
    RaveledShare,
    Spread,
    Uncover,
    WeatherReading,
)
from registry.models.choices import ReadingSystem
from registry.units import Kind, System, to_si

NORTH_LOT = "PP-23-07"
US = ReadingSystem.INCH_POUND
LANES = {date(2023, 8, 22): "AC", date(2023, 8, 24): "BD"}
RELEASED = date(2023, 9, 7)
LOOKS = ("2023-10-03", "2024-04-18", "2024-10-09")
CEMENTITIOUS, DESIGN, MOST, DENSITY, WITHIN = 610.0, 0.32, 0.33, 121.5, 5.0
"""Of the mix, as the heading of table 1C has them: lb/yd3, w/cm, w/cm, lb/ft3, lb/ft3."""
CREW = {
    "rake": ["L. Penn", "O. Tarr"],
    "screed": ["R. Voss"],
    "roll": ["E. Quist"],
    "cover": ["two hands, from 09:00 one of them at the joints"],
}
QUANTITIES: tuple[tuple[str, str, Kind, str], ...] = (
    ("volume_m3", "yd³", Kind.VOLUME, "yd³"),
    ("batch_water_kg", "batch water lb (incl. aggregate moisture)", Kind.MASS, "lb"),
    ("site_water_l", "site water gal", Kind.LIQUID, "gal"),
    ("density_kg_m3", "fresh density lb/ft³", Kind.DENSITY, "lb/ft³"),
    ("concrete_c", "concrete °F", Kind.TEMPERATURE, "°F"),
)
TIMES = (
    ("batched_at", "batched"),
    ("arrived_at", "arrived"),
    ("discharge_from_at", "discharge from"),
    ("discharge_to_at", "to"),
    ("cover_first_at", "cover first ft"),
    ("cover_last_at", "cover last ft"),
)
WEATHER: tuple[tuple[str, str, Kind, str], ...] = (
    ("air_c", "air °F", Kind.TEMPERATURE, "°F"),
    ("wind_km_h", "wind mph", Kind.SPEED, "mph"),
    ("concrete_c", "concrete °F", Kind.TEMPERATURE, "°F"),
)


def record_placing(cast: Cast, pavements: dict[str, Pavement]) -> int:
    """Store both placing days with loads, cover and raveled shares; return how many loads."""
    lot, author = pavements[NORTH_LOT], cast.as_author(CONTRACTOR)
    days = {row.placed_on: row for row in add_entries(_days(lot), **author)}
    lines = read_table("1C_loads")
    _record_loads(lines, days, author)
    _record_cover(days, author)
    add_entries(_looks(lot), **author)
    return len(lines)


def us(value: float, kind: Kind) -> float:
    """Return a reading in inch-pound units as the record keeps it."""
    return to_si(value, kind, System.INCH_POUND)


def _days(lot: Pavement) -> list[PlacingDay]:
    return [
        PlacingDay(
            pavement=lot,
            number="H-2306",
            system=US,
            placed_on=on,
            foreman="R. Voss",
            crew_by_task=CREW,
            thickness_mm=us(6.0, Kind.SMALL_LENGTH),
            cover_within_min=20,
            covered_hours_required=168,
            water_cement_design=DESIGN,
            water_cement_limit=MOST,
            density_approved_kg_m3=us(DENSITY, Kind.DENSITY),
            density_tolerance_kg_m3=us(WITHIN, Kind.DENSITY),
            released_on=RELEASED,
            as_written={
                "thickness_mm": "6.0 in",
                "density_approved_kg_m3": f"{DENSITY} lb/ft³",
                "density_tolerance_kg_m3": "5 lb/ft³",
                "covered_hours_required": "7 days",
            },
            note="Who stood at which task is invented.",
        )
        for on in LANES
    ]


def _record_loads(lines: list[Line], days: dict[date, PlacingDay], author: Author) -> None:
    rows = add_entries([_load(line, days[day(line["day"])]) for line in lines], **author)
    readings, spreads = [], []
    for line, row in zip(lines, rows, strict=True):
        readings.append(_weather(line, row))
        spreads += _spreads(line, row)
    add_entries(readings, **author)
    add_entries(spreads, **author)
    for row in rows:
        on = row.placing_day.placed_on
        for state in ("arrived", "accepted", "placed"):
            move_signed(row, to_state=state, on=on, signed_by="R. Voss", **author)


def _load(line: Line, placing_day: PlacingDay) -> Load:
    on = placing_day.placed_on
    row = Load(
        placing_day=placing_day,
        system=US,
        number=line["load"],
        ticket=line["ticket"],
        order_on_day=int(line["load"]),
        cementitious_kg_m3=us(CEMENTITIOUS, Kind.CONTENT),
        free_moisture_kg=0.0,
        note="Batch water holds the moisture of the aggregate.",
        as_written={"cementitious_kg_m3": "610 lb/yd³"},
    )
    for field, column in TIMES:
        setattr(row, field, clock(on, line[column]))
        row.as_written[field] = line[column]
    _set_quantities(row, line, QUANTITIES)
    if row.site_water_l:
        # Table 1C does not say of each load who ordered it: only of load 13 is more written.
        row.site_water_by = "driver" if line["load"] == "13" else "nk"
    return row


def _set_quantities(
    row: Load | WeatherReading, line: Line, columns: tuple[tuple[str, str, Kind, str], ...]
) -> None:
    for field, column, kind, unit in columns:
        value = number(line[column])
        if value is not None:
            setattr(row, field, us(value, kind))
            row.as_written[field] = f"{line[column]} {unit}"


def _weather(line: Line, load: Load) -> WeatherReading:
    if load.discharge_from_at is None:
        raise ValueError(f"load {load.number} has no clock of discharge")
    row = WeatherReading(
        placing_day=load.placing_day,
        load=load,
        system=US,
        at=load.discharge_from_at,
        humidity_percent=number(line["RH %"]),
        read_with="meter",
        note="The table has no clock of its own for the weather: it is that of the discharge.",
    )
    _set_quantities(row, line, WEATHER)
    return row


def _spreads(line: Line, load: Load) -> list[Spread]:
    """Return the limits of a load: "A 122-132; C 0-20.5"."""
    found = []
    for written in line["placed (lane, ft from datum line)"].split(";"):
        lane, low, high = re.fullmatch(r" ?([A-D]) ([\d.]+)-([\d.]+)", written).groups()  # type: ignore[union-attr]
        found.append(
            Spread(
                load=load,
                lane=lane,
                from_m=feet(float(low)),
                to_m=feet(float(high)),
                as_written={"from_m": f"{low} ft", "to_m": f"{high} ft"},
            )
        )
    return found


def _panels(lanes: str) -> list[str]:
    return [f"{lane}{n}" for lane in lanes for n in range(1, 12)]


def _at(written: str) -> datetime:
    at = clock(day(written), written[11:])
    if at is None:
        raise ValueError(f"{written} has no clock")
    return at


def _record_cover(days: dict[date, PlacingDay], author: Author) -> None:
    """Store the log of table 1F. The day without a check has no entry, and none is made up."""
    lines = {line["when (local)"]: line for line in read_table("1F_curing_log")}
    one, two = days.values()
    covers = [
        _strip(Cover, one, "AC", lines["2023-08-22 11:33"], "last_at"),
        _strip(Cover, two, "BD", lines["2023-08-24 11:11"], "last_at"),
    ]
    covers[0].sheet_mm, covers[0].laps = us(6.0, Kind.SHEET), "taped"
    covers[0].overlap_mm = us(18.0, Kind.SMALL_LENGTH)
    covers[0].as_written |= {"sheet_mm": "6 mil", "overlap_mm": "18 in"}
    uncovers = [
        _strip(Uncover, one, "AC", lines["2023-08-29 08:00"], "at"),
        _strip(Uncover, two, "BD", lines["2023-08-31 12:00"], "at"),
    ]
    walks = [
        CoverWalk(
            placing_day=one,
            at=_at(when),
            walked_by=lines[when]["who"],
            panels=_panels("AC"),
            panels_text="lanes A and C",
            found=f"{lines[when]['what']}; {lines[when]['result']}",
            as_written={"at": when},
        )
        for when in ("2023-08-22 17:30", "2023-08-23 07:10")
    ]
    add_entries(covers, **author)
    add_entries(uncovers, **author)
    add_entries(walks, **author)
    add_entries([_break(one, lines["2023-08-22 13:40"])], **author)
    add_entries([_van(two, lines["2023-09-05 16:05"])], **author)


def _strip(
    model: type[Cover] | type[Uncover], placing_day: PlacingDay, lanes: str, line: Line, at: str
) -> Any:
    when = line["when (local)"]
    row = model(
        placing_day=placing_day,
        panels=_panels(lanes),
        panels_text=f"lanes {lanes[0]} and {lanes[1]}",
        note=f"{line['what']}; {line['result']}",
        as_written={at: when},
    )
    setattr(row, at, _at(when))
    if isinstance(row, Uncover):
        row.uncovered_by = line["who"]
    return row


def _break(placing_day: PlacingDay, line: Line) -> CoverBreak:
    when = line["when (local)"]
    return CoverBreak(
        placing_day=placing_day,
        panels=["C8", "C9"],
        panels_text="C8-C9, about 24 × 12 ft",
        bare_area_m2=2 * feet(12) ** 2,
        from_at=_at(when),
        to_at=_at("2023-08-22 14:10"),
        cause="wind",
        relaid_how=f"misted and relaid, {line['who']}",
        note=f"{line['what']}; {line['result']}",
        as_written={"from_at": when, "bare_area_m2": "about 24 × 12 ft"},
    )


def _van(placing_day: PlacingDay, line: Line) -> EarlyLoad:
    when = line["when (local)"]
    return EarlyLoad(
        placing_day=placing_day,
        what="truck",
        in_words="delivery van seen on D11",
        panels=["D11"],
        panels_text="D11",
        at=_at(when),
        seen_by=line["who"],
        note=f"{line['what']}; {line['result']}",
        as_written={"at": when},
    )


def _looks(lot: Pavement) -> list[RaveledShare]:
    """Return what table 1D has of each panel; how it was graded is not written there."""
    return [
        RaveledShare(
            pavement=lot,
            panel=line["panel"],
            looked_on=date.fromisoformat(on),
            share=int(line[f"raveled % {on}"]) / 100,
            graded_by=GradedBy.TAPE,
            note="That the outlines were taken by tape is invented.",
            as_written={"share": f"{line[f'raveled % {on}']} %"},
        )
        for on in LOOKS
        for line in read_table("1D_panels")
    ]
