"""Figures of each load: waiting, time to cover (N13), drying (N11), water (N12), density (N16).

Rows asked for: `loads` with times (ISO 8601 with offset), water and weather; `placing_days` with
the limits that held on the day. `system` of a load is the one its ticket was read in.
"""

from datetime import datetime

from registry.dossier.record import Book, Figure, decimals, printed
from registry.placing import (
    DryingWeather,
    LoadTimes,
    LoadWater,
    NotGiven,
    PlacingError,
    density_check,
    evaporation,
    lags,
    water_cement,
)
from registry.placing.water import WATER_PER_LIQUID
from registry.units import System

_TIMES = ("batched", "arrived", "discharge_from", "discharge_to", "cover_first", "cover_last")
_WATER_UNITS = {
    System.INCH_POUND: {
        "cementitious": "lb/yd3",
        "volume": "yd3",
        "batch_water": "lb",
        "free_moisture": "lb",
        "site_water": "gal",
    },
    System.SI: {
        "cementitious": "kg/m3",
        "volume": "m3",
        "batch_water": "kg",
        "free_moisture": "kg",
        "site_water": "L",
    },
}
_WEATHER_UNITS = {
    System.INCH_POUND: {"air": "degF", "concrete": "degF", "humidity": "", "wind": "mph"},
    System.SI: {"air": "degC", "concrete": "degC", "humidity": "", "wind": "km/h"},
}
_DENSITY = {System.INCH_POUND: "lb/ft3", System.SI: "kg/m3"}
_FORM = {System.INCH_POUND: "inch-pound", System.SI: "SI"}
_DRYING = {System.INCH_POUND: ("lb/ft2/h", 3), System.SI: ("kg/m2/h", 2)}


def add_load_figures(book: Book) -> None:
    """Work out what each load gives by itself."""
    for load in book.of("loads"):
        _give_lags(book, load)
        book.give(f"load {load} evaporation", _drying(book, load))
        book.give(f"load {load} w/cm", _water(book, load))
        book.give(f"load {load} density", _density(book, load))


def system_of(book: Book, load: str) -> System:
    """The units a load was read in."""
    return System(book.read("loads", load, "system") or System.SI)


def is_least(book: Book, figure: str) -> bool:
    """Say whether a figure is only a least one, as w/cm is where a part of the water is unknown."""
    return figure in book.figures and bool(book.figures[figure].constants.get("at_least"))


def _give_lags(book: Book, load: str) -> None:
    wait, cover = f"load {load} wait", f"load {load} lag"
    at = {name: _instant(book.read("loads", load, name)) for name in _TIMES}
    try:
        found = lags(LoadTimes(**at))
    except PlacingError as fault:
        book.give(wait, NotGiven(fault.message))
        book.give(cover, NotGiven(fault.message))
        return
    book.give(wait, _minutes(book, load, found.batch_to_discharge, "N13 batch to discharge"))
    book.give(cover, _minutes(book, load, found.longest_to_cover, "N13 discharge to cover"))


def _minutes(book: Book, load: str, value: float | NotGiven, formula: str) -> Figure | NotGiven:
    if isinstance(value, NotGiven):
        return value
    ends = ("batched", "discharge_from") if "batch" in formula else _TIMES[2:]
    inputs = {name: book.take("loads", load, name) for name in ends}
    says = f"load {load}: {formula[4:]}"
    return Figure(says, formula, inputs, value, "min", f"{printed(value, 0)} min", decimals(0))


def _drying(book: Book, load: str) -> Figure | NotGiven:
    system = system_of(book, load)
    units = _WEATHER_UNITS[system]
    given = {name: book.read("loads", load, name, unit) for name, unit in units.items()}
    try:
        found = evaporation(
            DryingWeather(
                system,
                air=given["air"],
                concrete=given["concrete"],
                humidity_percent=given["humidity"],
                wind=given["wind"],
                wind_by_eye=bool(book.read("loads", load, "wind_by_eye")),
            )
        )
    except PlacingError as fault:
        return NotGiven(fault.message)
    if isinstance(found, NotGiven):
        return found
    inputs = {name: book.take("loads", load, name, unit) for name, unit in units.items()}
    unit, places = _DRYING[system]
    form = {"form": _FORM[system]}
    says = f"load {load}: evaporation"
    return Figure(
        says, "N11 evaporation", inputs, found.value, unit, found.words, decimals(places), form
    )


def _water(book: Book, load: str) -> Figure | NotGiven:
    system = system_of(book, load)
    units = _WATER_UNITS[system]
    given = {name: book.read("loads", load, name, unit) for name, unit in units.items()}
    try:
        found = water_cement(
            LoadWater(
                system,
                cementitious=given["cementitious"],
                load_volume=given["volume"],
                batch_water=given["batch_water"],
                free_moisture=given["free_moisture"],
                site_water=given["site_water"],
            )
        )
    except PlacingError as fault:
        return NotGiven(fault.message)
    if isinstance(found, NotGiven):
        return found
    inputs = {name: book.take("loads", load, name, unit) for name, unit in units.items()}
    formula = "N12 water over cementitious"
    constants = {"liquid": WATER_PER_LIQUID[system], "at_least": found.at_least}
    says = f"load {load}: water over cementitious"
    return Figure(says, formula, inputs, found.value, "", found.words, decimals(3), constants)


def _density(book: Book, load: str) -> Figure | NotGiven:
    system, day = system_of(book, load), book.read("loads", load, "day")
    unit = _DENSITY[system]
    known = day in book.of("placing_days")
    approved = book.read("placing_days", day, "density_approved", unit) if known else None
    tolerance = book.read("placing_days", day, "density_tolerance", unit) if known else None
    found_density = book.read("loads", load, "density", unit)
    try:
        found = density_check(found_density, approved, system, tolerance)
    except PlacingError as fault:
        return NotGiven(fault.message)
    if isinstance(found, NotGiven):
        return found
    inputs = {
        "density": book.take("loads", load, "density", unit),
        "approved": book.take("placing_days", day, "density_approved", unit),
    }
    says = f"load {load}: fresh density against the approved one"
    printed_as = decimals(1, 100)
    return Figure(says, "N16 density", inputs, found.share, "", found.words, printed_as)


def _instant(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None
