"""Tests with raw readings (N1), cores (N16), the winter's amounts (N31).

Rows asked for: `tests` (ring, water, time in the system read, ended), `cores` (length, density),
`winter` (what, amount), `pavement` (one row: area, thickness).
"""

from registry.dossier.record import Book, Figure, Input, decimals, printed
from registry.measuring import Ended, Method, NoRate, RingReading, compute_rate
from registry.placing import NotGiven
from registry.units import System

_RING = {System.INCH_POUND: ("in", "lb", "in/h"), System.SI: ("mm", "kg", "mm/h")}
_LENGTH = {System.INCH_POUND: "in", System.SI: "mm"}
_DENSITY = {System.INCH_POUND: "lb/ft3", System.SI: "kg/m3"}


def add_rest_figures(book: Book) -> None:
    """Work out tests, cores and the winter's amounts."""
    for test in book.of("tests"):
        book.give(f"test {test} rate", _rate(book, test))
    for core in book.of("cores"):
        _give_core(book, core)
    _give_winter(book)


def _rate(book: Book, test: str) -> Figure | NotGiven:
    ended = book.read("tests", test, "ended")
    if not ended:
        return NotGiven("Nobody wrote how it ended.")
    system = System(book.read("tests", test, "system"))
    ring_unit, water_unit, unit = _RING[system]
    inputs = {
        "ring": book.take("tests", test, "ring", ring_unit),
        "water": book.take("tests", test, "water", water_unit),
        "time": book.take("tests", test, "time"),
    }
    found = compute_rate(
        RingReading(
            system,
            Method(book.read("tests", test, "method")),
            Ended(ended),
            inputs["ring"].value,
            inputs["water"].value,
            inputs["time"].value,
        )
    )
    if isinstance(found, NoRate):
        return NotGiven(found.reason)
    places = 0 if found.value >= 10 else 1
    sign = f"{found.sign} " if found.sign else ""
    shown = f"{sign}{printed(found.value, places)} {unit}"
    says = f"test {test}: infiltration rate"
    constants = {"K": found.constant}
    return Figure(says, "N1 rate", inputs, found.value, unit, shown, decimals(places), constants)


def _give_core(book: Book, core: str) -> None:
    system = System(book.read("cores", core, "system") or System.SI)
    length, density = _LENGTH[system], _DENSITY[system]
    for name, of in (("length", "thickness"), ("density", "density_approved")):
        unit = length if name == "length" else density
        found = book.read("cores", core, name, unit)
        plan = _of_pavement(book, of, unit)
        if found is None or plan is None:
            continue
        taken = book.take("cores", core, name, unit)
        if name == "length":
            inputs = {"length": taken, "plan": plan}
            value = found - plan.value
            places = 1 if system is System.INCH_POUND else 0
            shown = f"{printed(value, places)} {unit}"
            figure = Figure(
                f"core {core}: length less plan thickness", "N16 length", inputs, value, unit,
                shown, decimals(places),
            )  # fmt: skip
        else:
            inputs = {"density": taken, "approved": plan}
            value = (found - plan.value) / plan.value
            shown = f"{printed(value, 1, 100)} % of the approved density"
            figure = Figure(
                f"core {core}: density against the approved fresh density", "N16 density", inputs,
                value, "", shown, decimals(1, 100),
            )  # fmt: skip
        book.give(f"core {core} {name}", figure)


def _of_pavement(book: Book, cell: str, unit: str) -> Input | None:
    """A size of the placing days, where all days have the same."""
    days = list(book.of("placing_days"))
    values = {book.read("placing_days", day, cell, unit) for day in days}
    if len(values) != 1 or None in values:
        return None
    return book.take("placing_days", days[0], cell, unit)


def _give_winter(book: Book) -> None:
    groups: dict[tuple[int, str], list[str]] = {}
    for name in book.of("winter"):
        what, on = book.read("winter", name, "what"), book.read("winter", name, "on")
        if book.read("winter", name, "is_spread"):
            year = int(on[:4]) - (on[5:7] < "07")
            groups.setdefault((year, what), []).append(name)
    if not book.of("pavement"):
        return
    pavement = next(iter(book.of("pavement")))
    area = book.read("pavement", pavement, "area", "m2")
    for (year, what), names in groups.items():
        figure_name = f"winter {year}-{(year + 1) % 100:02} {what}"
        if not area or any(book.read("winter", name, "amount", "kg") is None for name in names):
            book.give(figure_name, NotGiven("Not all of it was counted."))
            continue
        amounts = [book.take("winter", name, "amount", "kg") for name in names]
        inputs: dict[str, Input | list[Input]] = {
            "amounts": amounts,
            "area": book.take("pavement", pavement, "area", "m2"),
        }
        value = sum(one.value for one in amounts) / area
        shown = f"{printed(value, 4)} kg/m2 over the whole pavement"
        says = f"{figure_name}: amount logged over the area"
        book.give(
            figure_name,
            Figure(says, "N31 amount over area", inputs, value, "kg/m2", shown, decimals(4)),
        )
