"""The placing record of a callback as rows of a dossier: panels, loads, cover, tests, cores.

What a contractor keeps inside (its crew by task) is never read here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from registry.dossier import Book, Cell, blank, number, words
from registry.gathering.dossier_cells import cell, day, instant, label, panels
from registry.gathering.layouts import find_layout
from registry.gathering.load_figures import reading_of
from registry.gathering.load_pattern import load_name as name_of_load
from registry.gathering.pours import Pour, notice_day, pours_of, root_of
from registry.models import Callback, Core, InfiltrationTest, Load, PlacingDay
from registry.plan import Panel
from registry.units import System

_OTHER = "This is other concrete than that of this dossier, and has none of its figures."
_LENGTH = {System.INCH_POUND: ("ring", "in", "lb"), System.SI: ("ring", "mm", "kg")}


@dataclass(frozen=True)
class Concrete:
    """The panels of the concrete that is claimed, as they lay on the day the notice counts from.

    Panels replaced since, or before, are of other concrete and no part of it. A claim on new work
    is set against all days of new work, as on the page of loads and panels: loads that nobody
    claims are what the others are compared with.

    days    its placing days, none where nobody wrote them down
    placed  the days it was placed on, as those days and the plan say
    since   day before which a look is of other concrete; None for new work
    apart   (panel, why) of panels that are claimed too and are of another pour
    missing why nothing of its placing is on record
    told    of which repair it is, nothing for new work
    is_whole  no panel of it was replaced or taken out before the notice
    """

    panels: tuple[Panel, ...]
    days: tuple[PlacingDay, ...]
    placed: frozenset[date] = frozenset()
    since: date | None = None
    apart: tuple[tuple[str, str], ...] = ()
    missing: str = ""
    told: str = ""
    is_whole: bool = True


def claimed_concrete(callback: Callback, days: Sequence[PlacingDay]) -> Concrete:
    """Return the concrete of a callback: of two pours that of most claimed panels.

    days  of new work and of repairs that whoever asks may see
    """
    layout = find_layout(callback.pavement).layout
    if layout is None:
        return Concrete((), tuple(day for day in days if day.repair_id is None))
    on = notice_day(callback)
    rows = list(callback.pavement.panels.standing())
    pours = pours_of(rows, on, days, names=callback.panels)
    if not pours:
        return Concrete((), ())
    claimed = set(callback.panels)
    pour = max(pours, key=lambda one: len(claimed & set(one.panels) if claimed else one.panels))
    apart = [
        (name, f"{name}: {other.told or other.missing or 'of the new work'}. {_OTHER}")
        for other in pours
        if other is not pour
        for name in callback.panels
        if name in other.panels
    ]
    return Concrete(
        tuple(panel for panel in layout.panels_on(on) if panel.name in pour.panels),
        pour.days,
        pour.poured,
        pour.since,
        tuple(apart),
        pour.missing,
        pour.told,
        _is_whole(pour, pours_of(rows, pour.until, days)),
    )


def _is_whole(pour: Pour, when_new: Iterable[Pour]) -> bool:
    """Say whether all concrete of a pour was still there."""
    own = {root_of(row).pk for row in pour.panels.values() if row is not None}
    same = (one for one in when_new if one.days == pour.days and one.since == pour.since)
    return all(
        root_of(row).pk in own for one in same for row in one.panels.values() if row is not None
    )


def add_plan(
    book: Book,
    callback: Callback,
    concrete: Concrete,
    zone_of: dict[str, bool | None],
    said: dict[str, bool],
) -> None:
    """Add the pavement, and the panels of the concrete that is claimed."""
    pavement = callback.pavement
    row = {
        "area": number(pavement.area_m2, "m2"),
        "use": words(pavement.get_use_display()),
        "concrete": words(concrete.told or concrete.missing),
        "concrete_is_whole": Cell(concrete.is_whole),
    }
    book.add("pavement", pavement.name, row)
    if concrete.missing:
        book.not_given["placing record"] = concrete.missing
    for name, why in concrete.apart:
        book.not_given[f"panel {name} placing"] = why
    for panel in concrete.panels:
        book.add("panels", panel.name, _panel_row(panel, zone_of, said))


def _panel_row(
    panel: Panel, zone_of: dict[str, bool | None], said: dict[str, bool]
) -> dict[str, Cell]:
    outline = [[float(x), float(y)] for x, y in panel.polygon.exterior.coords[:-1]]
    return {
        "outline": words(outline),
        "lane": words(panel.letter),
        "placed_on": day(panel.placed_on),
        "gone_on": day(panel.exists_to),
        "turned_deg": number(panel.turned_deg),
        "in_winter_zone": Cell(zone_of.get(panel.name)),
        "said_in_zone": Cell(said.get(panel.name)),
    }


def add_days(book: Book, days: Sequence[PlacingDay], zone: ZoneInfo) -> None:
    """Add placing days with their loads, spreads, weather and the log of the cover."""
    names: dict[int, str] = {}
    for row in days:
        names[row.pk] = book.add("placing_days", row.placed_on.isoformat(), _day_row(row))
    for row in days:
        for load in row.loads.all():
            if load.void_at is None and load.double_of_id is None:
                _add_load(book, load, row, names[row.pk], zone)
        _add_cover(book, row, names[row.pk], zone)


def _day_row(row: PlacingDay) -> dict[str, Cell]:
    return {
        "placed_on": day(row.placed_on),
        "foreman": cell(row, "foreman"),
        "subbase": label(row, "subbase"),
        "must_match": cell(row, "must_match"),
        "thickness": cell(row, "thickness_mm", "mm"),
        "cover_within_min": cell(row, "cover_within_min"),
        "covered_hours_required": cell(row, "covered_hours_required"),
        "batch_to_discharge_min": cell(row, "batch_to_discharge_min"),
        "water_cement_design": cell(row, "water_cement_design"),
        "water_cement_limit": cell(row, "water_cement_limit"),
        "density_approved": cell(row, "density_approved_kg_m3", "kg/m3"),
        "density_tolerance": cell(row, "density_tolerance_kg_m3", "kg/m3"),
        "released_on": cell(row, "released_on"),
    }


def _add_load(book: Book, load: Load, on: PlacingDay, day_name: str, zone: ZoneInfo) -> None:
    weather = reading_of(load, _standing(on.weather.all()))
    spreads = [s for s in load.spreads.all() if s.void_at is None and s.double_of_id is None]
    row = {
        "day": words(day_name),
        "system": words(load.system),
        "ticket": cell(load, "ticket"),
        "plant": cell(load, "plant"),
        "mix": cell(load, "mix"),
        **{
            name: instant(load, f"{name}_at", zone)
            for name in ("batched", "arrived", "discharge_from", "discharge_to", "cover_first",
                         "cover_last")
        },
        "volume": cell(load, "volume_m3", "m3"),
        "cementitious": cell(load, "cementitious_kg_m3", "kg/m3"),
        "batch_water": cell(load, "batch_water_kg", "kg"),
        "free_moisture": cell(load, "free_moisture_kg", "kg"),
        "site_water": cell(load, "site_water_l", "L"),
        "site_water_by": label(load, "site_water_by"),
        "look": label(load, "look"),
        "density": cell(load, "density_kg_m3", "kg/m3"),
        "state": label(load, "state"),
        "placed": words("; ".join(f"{s.lane} {_limits(s)}" for s in spreads)),
    }  # fmt: skip
    for name, field, unit in (
        ("air", "air_c", "degC"),
        ("humidity", "humidity_percent", ""),
        ("wind", "wind_km_h", "km/h"),
        ("concrete", "concrete_c", "degC"),
    ):
        row[name] = cell(weather, field, unit) if weather else blank("no reading within the hour")
    row["wind_by_eye"] = Cell(bool(weather and weather.read_with == "eye"))
    load_name = book.add("loads", name_of_load(load.number, book.of("loads"), on), row)
    for spread in spreads:
        limits = {"from": cell(spread, "from_m", "m"), "to": cell(spread, "to_m", "m")}
        book.add(
            "spreads",
            f"load {load_name} {spread.lane}",
            {"load": words(load_name), "lane": words(spread.lane), **limits},
        )


def _limits(spread: object) -> str:
    low, high = cell(spread, "from_m", "m"), cell(spread, "to_m", "m")  # type: ignore[arg-type]
    return f"{low.shown} to {high.shown}"


def _add_cover(book: Book, row: PlacingDay, day_name: str, zone: ZoneInfo) -> None:
    log: list[tuple[str, str, str, str]] = []
    for cover in _standing(row.covers.all()):
        cells = {
            "day": words(day_name),
            "panels": panels(cover),
            "last_at": instant(cover, "last_at", zone),
            "sheet": cell(cover, "sheet_mm", "mm"),
            "laps": label(cover, "laps"),
        }
        name = book.add("covers", cover.panels_text or f"strip of {day_name}", cells)
        log.append((cells["last_at"].shown, f"{name} covered", "", cover.note))
    for walk in _standing(row.cover_walks.all()):
        at = instant(walk, "at", zone).shown
        log.append((at, f"walk: {walk.found or 'nothing noted'}", walk.walked_by, walk.note))
    for one in _standing(row.cover_breaks.all()):
        cells = {
            "panels": panels(one),
            "from_at": instant(one, "from_at", zone),
            "to_at": instant(one, "to_at", zone),
            "cause": label(one, "cause"),
        }
        name = book.add("breaks", one.panels_text or ", ".join(one.panels), cells)
        told = f"cover off {name}: {cells['cause'].shown}"
        log.append((cells["from_at"].shown, told, one.relaid_how, one.note))
    for off in _standing(row.uncovers.all()):
        cells = {"panels": panels(off), "at": instant(off, "at", zone)}
        name = book.add("uncovers", f"{off.panels_text or day_name} uncovered", cells)
        log.append((cells["at"].shown, name, off.uncovered_by, off.note))
    for early in _standing(row.early_loads.all()):
        cells = {"panels": panels(early), "at": instant(early, "at", zone)}
        name = book.add("early_loads", early.in_words or str(early), cells)
        log.append((cells["at"].shown, name, early.seen_by, early.note))
    for when, what, who, result in sorted(log):
        book.add(
            "cover_log", when, {"what": words(what), "who": words(who), "result": words(result)}
        )


def _standing(rows: Iterable) -> list:
    return [row for row in rows if row.void_at is None and row.double_of_id is None]


def add_tests(book: Book, rows: Iterable[InfiltrationTest]) -> None:
    """Add infiltration tests with the readings in the system they were read in."""
    for row in rows:
        _, length, mass = _LENGTH[System(row.system)]
        place = row.place_used or row.spot.place or row.spot.name
        book.add(
            "tests",
            row.number or f"{place} {row.started_on}",
            {
                "system": words(row.system),
                "method": words(row.method),
                "ended": words(row.ended),
                "on": day(row.started_on),
                "place": words(place),
                "reason": label(row, "reason"),
                "ring": cell(row, "ring", length),
                "prewet": cell(row, "prewet_seconds", "s"),
                "water": cell(row, "water", mass),
                "time": cell(row, "seconds", "s"),
                "use": words(row.get_use_display()),
                "note": words(row.note),
            },
        )


def add_cores(book: Book, rows: Iterable[Core], system: str) -> None:
    """Add cores; their deviations are given in `system`."""
    for row in rows:
        book.add(
            "cores",
            row.number,
            {
                "system": words(system),
                "panel": cell(row, "panel"),
                "taken_on": day(row.taken_on),
                "taken_by": cell(row, "taken_by"),
                "surface": cell(row, "surface"),
                "length": cell(row, "length_mm", "mm"),
                "density": cell(row, "density_kg_m3", "kg/m3"),
                "chloride": cell(row, "chloride_percent"),
                "fines": cell(row, "fines_mm", "mm"),
                "bottom_closed": label(row, "bottom_closed"),
                "seen": cell(row, "seen"),
                "cause": cell(row, "cause"),
                "cause_by": cell(row, "cause_by"),
            },
        )
