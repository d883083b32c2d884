"""A crew's day gathered into the words of its sheet."""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from registry.gathering.crew_day import CrewDay, DayStop
from registry.gathering.stop_words import StopWords, place_words, stop_words
from registry.models import Crew, Machine, Site, StopKind
from registry.sheets.contents import DayContent, DayStopWords, Heading
from registry.units import Kind, System, show_limit, show_size

TITLE = "DAY SHEET"
KINDS = {StopKind.WORK: "SWEEP", StopKind.DUMP: "DUMP", StopKind.WATER: "WATER"}


def blank_day(system: System, printed_on: date) -> DayContent:
    """Return a sheet without a crew, with the same places as a filled one."""
    line = "crew ____________________   day ______________   machine ____________________"
    return DayContent(Heading(TITLE, system, printed_on, line=line, is_blank=True))


def day_content(day: CrewDay, system: System, printed_on: date) -> DayContent:
    """Return what the sheet of a crew's day says."""
    crew, planned = day.crew, day.round_day
    heading = Heading(
        title=TITLE,
        system=system,
        printed_on=printed_on,
        pavement=f"{day.on:%a %Y-%m-%d}, {crew}",
        street=str(crew.organisation),
        line=_machine_words(crew.machine, system),
    )
    facts = [("depot", str(crew.depot) if crew.depot else "")]
    if planned is not None:
        facts += [
            ("leave", _clock(planned.leaves_at, day.zone)),
            ("back", _clock(planned.returns_at, day.zone)),
            ("driving", f"{planned.driving_min} min"),
        ]
    facts += [("breaks", crew.breaks_in_words or "none written")]
    facts += [("stops", str(len(day.stops)))]
    stops = tuple(_stop(day, stop, system) for stop in day.stops)
    return DayContent(heading, day.on.isoformat(), tuple(facts), stops, day.left_out)


def _machine_words(machine: Machine | None, system: System) -> str:
    if machine is None:
        return "machine: none chosen for this crew"
    sizes = (
        ("height", machine.height_m, Kind.LENGTH),
        ("width", machine.width_m, Kind.LENGTH),
        ("heaviest axle", machine.axle_kg, Kind.MASS),
        ("turning circle", machine.turning_m, Kind.LENGTH),
    )
    told = [f"{label} {show_size(value, kind, system)}" for label, value, kind in sizes if value]
    return ", ".join([f"machine {machine}", *told])


def _stop(day: CrewDay, stop: DayStop, system: System) -> DayStopWords:
    clocks: dict[str, Any] = {
        "arrives": _clock(stop.arrives_at, stop.zone),
        "begins": _clock(stop.begins_at, stop.zone),
        "ends": _clock(stop.ends_at, stop.zone),
        "drive": "" if stop.drive_min is None else f"{stop.drive_min} min",
    }
    kind = KINDS[StopKind(stop.kind)]
    if stop.order is None:
        assert stop.place is not None
        lines = (("open", place_words(stop.place)),)
        return DayStopWords(stop.number, kind, str(stop.place), lines=lines, **clocks)
    words = stop_words(stop.order, day.on, system, stop.rest)
    return DayStopWords(
        stop.number,
        kind,
        words.pavement,
        order=words.order,
        lines=_lines(words),
        alarms=_alarms(day.crew, stop.order.pavement.site, system),
        path=f"/work-orders/{stop.order.pk}/",
        **clocks,
    )


def _lines(words: StopWords) -> tuple[tuple[str, str], ...]:
    """Return what is known in order of use: where, how in, when, limits, what to do."""
    where = ", ".join(part for part in (words.site, words.address) if part)
    limits = (("height", words.height), ("axle", words.axle), ("way in", words.way_in))
    cars = (("cars out by", words.cars_out_by), ("notice posted", words.notice))
    hours = (("", words.window), ("noise", words.noise), ("CLOSED", words.closed))
    to_do = (
        ("", words.method),
        ("rows", ", ".join(filter(None, (words.rows, words.area)))),
        ("passes", words.passes),
        ("surface", words.surface),
        ("not below", words.lowest),
        ("do not:", ", ".join(part.removeprefix("no ") for part in words.do_not)),
    )
    lines = (
        ("where", _joined((("", where), ("entrance:", words.entrance)))),
        ("hours", _joined(hours)),
        ("gate, keys", words.gate),
        ("limits", _joined(limits)),
        ("cars", _joined(cars)),
        ("on site", words.contact),
        ("to do", _joined(to_do)),
    )
    return tuple((label, text or "not written") for label, text in lines if text or label in ASKED)


ASKED = ("where", "hours", "gate, keys", "limits")
"""Of which a driver is told too that nothing is known."""


def _joined(parts: tuple[tuple[str, str], ...]) -> str:
    return "; ".join(" ".join(filter(None, part)) for part in parts if part[1])


def _alarms(crew: Crew, site: Site, system: System) -> tuple[str, ...]:
    """Return where the machine is more than the site bears, by the figures of both."""
    machine = crew.machine
    if machine is None:
        return ()
    pairs = (
        ("high", machine.height_m, site.clearance_m, Kind.LENGTH),
        ("on its heaviest axle", machine.axle_kg, site.axle_limit_kg, Kind.MASS),
        ("wide", machine.width_m, site.way_in_width_m, Kind.LENGTH),
    )
    return tuple(
        f"DO NOT GO IN: the machine is {show_size(has, kind, system)} {word}, the site bears "
        f"{show_limit(bears, kind, system)}. Ask first."
        for word, has, bears, kind in pairs
        if has is not None and bears is not None and has > bears
    )


def _clock(at: datetime | None, zone: str) -> str:
    return "" if at is None else f"{at.astimezone(ZoneInfo(zone)):%H:%M}"
