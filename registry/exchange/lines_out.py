"""The record as lines of the record files, with one way to write each thing.

What is written out and brought into an empty record is written out again byte for byte: numbers
in their shortest form, quantities in the system in which they were written, local times, rows in
order. Not in these files, and so lost on such a way: void entries and doubles, what the columns
have no room for, and which of two points of one name and different years a test belongs to.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from registry.exchange.run_notes import note_of
from registry.exchange.shown import ShownPavement
from registry.exchange.workbook_in import plain_number
from registry.faults import Ambiguous, DomainError
from registry.gathering.readings import rain_within_24_h
from registry.models import CLASS_OF, Cleaning, InfiltrationTest, Pavement
from registry.models.entry import Entry
from registry.plan.lengths import written_from
from registry.plan.places import PanelPlace
from registry.plan.reading import read_place
from registry.units import Kind, System, read_elapsed, read_empty, read_quantity


@dataclass(frozen=True)
class Number:
    """A number cell, as text; never guarded."""

    text: str

    def __str__(self) -> str:
        return self.text


Cell = str | Number
Line = dict[str, Cell]


def number(value: float | int | None) -> Cell:
    """Return a number cell, or "" for none."""
    return "" if value is None else Number(plain_number(value))


def pavement_line(shown: ShownPavement, today: date) -> Line:
    """Return the line of a pavement; the criteria in force on a day, where they may be seen."""
    pavement = shown.pavement
    line: Line = {
        "ref": shown.ref,
        "name": pavement.name.strip(),
        "site": pavement.site.name.strip(),
        "surface": pavement.surface,
        "placed_on": _or_empty(pavement, "placed_on", pavement.placed_on),
        "lon": _or_empty(pavement, "lon", pavement.lon),
        "lat": _or_empty(pavement, "lat", pavement.lat),
        "use": _or_empty(pavement, "use", pavement.use),
        "heavy_trees": _or_empty(pavement, "heavy_trees", pavement.heavy_trees),
        "winter_sand": _or_empty(pavement, "winter_sand", pavement.winter_sand),
        "bare_soil_run_on": _or_empty(pavement, "bare_soil_run_on", pavement.bare_soil_run_on),
        "other_ref": shown.other_ref,
    }
    line |= _quantity(pavement, "area_m2", pavement.area_m2, Kind.AREA, ("area_m2", "area_ft2"))
    if shown.sees_criteria:
        line |= _action_rate(pavement, today) | _run_on(pavement, today)
    return line


def _action_rate(pavement: Pavement, today: date) -> Line:
    sets = [c for c in pavement.criteria.all() if not c.is_void and c.section_id is None]
    held = [c for c in sets if _holds(c, today) and c.action_rate_mm_h is not None]
    columns = ("action_rate_mm_h", "action_rate_in_h")
    if not held:
        return {columns[0]: _kind_as_written(pavement, columns[0])}
    last = max(held, key=lambda c: (c.from_on or date.min, c.pk))
    return _quantity(last, "action_rate_mm_h", last.action_rate_mm_h, Kind.RATE, columns)


def _run_on(pavement: Pavement, today: date) -> Line:
    areas = [a for a in pavement.run_on_areas.all() if not a.is_void and _holds(a, today)]
    sizes = [a.area_m2 for a in areas if a.area_m2 is not None]
    if not sizes:
        return {"run_on_m2": _nothing_as_written(pavement, "run_on_m2")}
    return {"run_on_m2": number(sum(sizes))}


def _holds(dated: Entry, today: date) -> bool:
    begins, ends = dated.from_on, dated.to_on  # type: ignore[attr-defined]
    return (begins is None or begins <= today) and (ends is None or today < ends)


def run_lines(shown: ShownPavement) -> Iterator[Line]:
    """Yield the lines of a pavement's tests, by point, start and run.

    Two runs of one point, start and number, which a form lets in, are numbered on.
    """
    zone = ZoneInfo(shown.pavement.site.time_zone)
    taken: dict[tuple[str, Cell], set[int]] = defaultdict(set)
    rows = [(_run_line(shown.ref, row, zone), row.run) for row in shown.tests]
    for line, run in sorted(rows, key=lambda pair: _in_order(pair[0], pair[1])):
        runs = taken[str(line["point"]), str(line["started_at"])]
        while run in runs:
            run += 1
        runs.add(run)
        yield line | {"run": number(run)}


def _in_order(line: Line, run: int) -> tuple[str, str, int, list[str]]:
    return (str(line["point"]), str(line["started_at"]), run, [str(c) for c in line.values()])


def _run_line(ref: str, row: InfiltrationTest, zone: ZoneInfo) -> Line:
    is_si = row.system == System.SI
    ring, water, prewet = (
        ("ring_mm", "water_kg", "prewet_kg") if is_si else ("ring_in", "water_lb", "prewet_lb")
    )
    return {
        "pavement_ref": ref,
        "point": row.spot.name.strip(),
        "started_at": moment(row.started_on, row.started_at, zone),
        "method": row.method,
        ring: _or_empty(row, "ring", row.ring),
        water: _or_empty(row, "water", row.water),
        "seconds": _seconds(row, "seconds"),
        "ended": row.ended,
        "stratum": _or_empty(row, "stratum", row.stratum),
        **_place(row),
        prewet: _or_empty(row, "prewet_water", row.prewet_water),
        "prewet_seconds": _seconds(row, "prewet_seconds"),
        "rain_within_24_h": _rain(row),
        "note": _or_empty(row, "note", note_of(row)),
    }


def moment(day: date, instant: datetime | None, zone: ZoneInfo) -> str:
    """Return a local time; an hour that came twice that night with its offset; a day alone."""
    if instant is None:
        return day.isoformat()
    local = instant.astimezone(zone).replace(microsecond=0)
    text = local.replace(tzinfo=None).isoformat(timespec="seconds" if local.second else "minutes")
    is_twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return f"{text}{local.isoformat()[-6:]}" if is_twice else text


def _seconds(row: InfiltrationTest, field: str) -> Cell:
    """Seconds, or what was written where it can be read in more ways than one.

    Seconds that would be asked about again, as 3.42 is, carry their unit.
    """
    value = getattr(row, field)
    text = row.written(field) if value is None else plain_number(value)
    if text:
        try:
            read_elapsed(text)
        except Ambiguous:
            return text if value is None else f"{text} s"
        except DomainError:
            return _or_empty(row, field, value)
    return _or_empty(row, field, value)


def _rain(row: InfiltrationTest) -> Cell:
    rained = rain_within_24_h(row)
    if rained is None:
        return _or_empty(row, "rain_within_24_h", row.rain_within_24_h)
    return "yes" if rained else "no"


PLACE = ("panel", "right", "up")


def _place(row: InfiltrationTest) -> Line:
    """Panel, right and up as the row was written, else out of the place of its point."""
    if any(name in row.as_written for name in PLACE):
        return {n: _measure(row.written(n)) if n != "panel" else row.written(n) for n in PLACE}
    system = System(row.system)
    try:
        place = read_place(row.place_used or row.spot.place, system)
    except DomainError:
        return {}
    if not isinstance(place, PanelPlace):
        return {}
    found: Line = {"panel": str(place.panel)}
    for name, span in (("right", place.right), ("up", place.up)):
        if span is not None and span.start_m == span.stop_m:
            found[name] = number(written_from(span.start_m, system))
    return found


def _measure(text: str) -> Cell:
    plain = text.replace(",", ".")
    return text if not plain or read_empty(plain) else number(float(plain))


def sweep_lines(shown: ShownPavement) -> Iterator[Line]:
    """Yield the lines of a pavement's cleanings of the surface, by time and method.

    Two that are the same to the last cell are one line: read again they would be a double.
    """
    zone = ZoneInfo(shown.pavement.site.time_zone)
    rows = [row for row in shown.cleanings if CLASS_OF[row.method]]
    lines = {
        tuple(str(cell) for cell in line.values()): line
        for line in (_sweep_line(shown.ref, row, zone) for row in rows)
    }
    yield from (lines[key] for key in sorted(lines))


def _sweep_line(ref: str, row: Cleaning, zone: ZoneInfo) -> Line:
    wet = {"wet": "yes", "dry": "no", "damp": "no"}.get(row.surface)
    return {
        "pavement_ref": ref,
        "done_at": moment(row.done_on, row.started_at, zone),
        "method": CLASS_OF[row.method],
        "panels": _or_empty(row, "rows_text", row.rows_text.strip()),
        "surface_wet": wet or row.written("surface_wet").lower(),
        "passes": _or_empty(row, "passes", row.passes),
        **_quantity(row, "debris_m3", row.debris_m3, Kind.VOLUME, ("debris_m3", "debris_yd3")),
        "note": _or_empty(row, "note", row.note.strip()),
    }


def _quantity(
    row: Entry, field: str, value_si: float | None, kind: Kind, columns: tuple[str, str]
) -> Line:
    """A quantity in the column of the system in which it was written, if it still is that one."""
    if value_si is None:
        return {columns[0]: row.empties.get(field, "")}
    try:
        written = read_quantity(row.written(field), kind)
    except DomainError:
        return {columns[0]: number(value_si)}
    if written.si != value_si or written.system is System.SI:
        return {columns[0]: number(value_si)}
    return {columns[1]: number(written.standard)}


def _or_empty(row: Entry, field: str, value: object) -> Cell:
    if value in (None, ""):
        return str(row.empties.get(field, ""))
    if isinstance(value, int | float):
        return number(value)
    if isinstance(value, date):
        return value.isoformat()
    return str(value).replace("\r\n", "\n").replace("\r", "\n")


def _kind_as_written(row: Entry, field: str) -> str:
    return read_empty(row.written(field)) or ""


def _nothing_as_written(row: Entry, field: str) -> Cell:
    text = row.written(field).split(" ")[0]
    return number(0) if text == "0" else _kind_as_written(row, field)
