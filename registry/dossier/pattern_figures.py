"""Patterns: N18 of each factor over the loads, late loads against the others, winter zone or not.

Of the first day on which enough loads got a raveled share, and of the change to the next. A
pattern is evidence; it names no cause and nobody liable.
"""

from collections.abc import Sequence

from registry.dossier.late_figures import give_late
from registry.dossier.load_figures import is_least, system_of
from registry.dossier.look_figures import LookDay, compared_day, look_days, pairs_of, raveled_name
from registry.dossier.neighbour_figures import give_alone, give_neighbours
from registry.dossier.record import Book, Figure, Input, decimals, printed
from registry.dossier.winter_figures import give_winter
from registry.placing import FACTORS, Factor, LoadRow, NotGiven, Pattern, pattern
from registry.placing.pattern import SEED, SHUFFLES
from registry.units import System

OUTCOME_DECIMALS = 3
_OF_FIGURE = {"lag": "lag", "wait": "wait", "evaporation": "evaporation", "water": "w/cm"}
_OF_ROW = {
    "density": {System.INCH_POUND: "lb/ft3", System.SI: "kg/m3"},
    "air": {System.INCH_POUND: "degF", System.SI: "degC"},
}


def add_pattern_figures(book: Book) -> None:
    """Work out the patterns that the rows allow."""
    day = compared_day(book)
    if day is None:
        book.not_given["pattern"] = "No raveled share of a panel is in the record."
        return
    give_late(book, day)
    _give_pattern(book, day)
    days = look_days(book)
    give_winter(book, days, day)
    give_neighbours(book, day)
    pair = next((one for one in pairs_of(days) if one[0] == day), None)
    give_alone(book, days, pair)


def tau_name(code: str) -> str:
    """Name of the figure of N18 of a factor."""
    return f"tau-b of {code}"


def left_out_name(code: str) -> str:
    """Name under which stands which loads N18 of a factor leaves out for being bounds."""
    return f"left out of tau-b of {code}"


def _give_pattern(book: Book, day: LookDay) -> None:
    rows = [
        LoadRow(
            load,
            book.value(raveled_name(load, day)),
            {factor.code: _value(book, load, factor) for factor in FACTORS},
            _bounds(book, load),
        )
        for load in book.of("loads")
    ]
    found = pattern(rows, FACTORS, seed=SEED)
    book.not_given["factors tried"] = found.tried_words
    book.not_given["look compared"] = _look_words(book, day)
    for line in found.lines:
        if line.bounds:
            book.not_given[left_out_name(line.factor.code)] = line.bounds_words
        if line.tau is None or line.p is None:
            book.give(tau_name(line.factor.code), NotGiven(line.reason))
            continue
        loads = _loads_with(rows, line.factor)
        outcome = book.results(raveled_name(load, day) for load in loads)
        inputs = {"outcome": outcome, "factor": [_input(book, x, line.factor) for x in loads]}
        says = f"{line.factor.label} against raveling on {day.on}, {line.n} loads"
        constants = {
            "outcome_decimals": OUTCOME_DECIMALS,
            "factor_decimals": line.factor.decimals,
            "loads": line.n,
        }
        name, formula = tau_name(line.factor.code), "N18 tau-b"
        shown = printed(line.tau, 2)
        book.give(name, Figure(says, formula, inputs, line.tau, "", shown, decimals(2), constants))
        _give_p(book, name, says, inputs, line.p, constants)
    _give_together(book, rows, found)


def _look_words(book: Book, day: LookDay) -> str:
    """Which look is compared, how it was graded, over which placing days."""
    placed = dict.fromkeys(book.read("loads", load, "day") for load in book.of("loads"))
    on = ", ".join(filter(None, placed)) or "days not written down"
    count = len(day.rows)
    panels = f"{count} panel{'' if count == 1 else 's'}"
    return f"Raveling compared: {day.words}, {panels}; loads placed on {on}."


def _give_p(
    book: Book,
    name: str,
    says: str,
    inputs: dict[str, Sequence[Input]],
    p: float,
    constants: dict[str, int],
) -> None:
    shuffled = constants | {"shuffles": SHUFFLES, "seed": SEED}
    shown = "p under 0.001" if p < 0.001 else f"p {p:.2g}"
    figure = Figure(f"p of {says}", "N18 p by shuffling", inputs, p, "", shown, "p", shuffled)
    book.give(f"p of {name}", figure)


def _give_together(book: Book, rows: list[LoadRow], found: Pattern) -> None:
    for pair in found.together:
        loads = [
            row.load
            for row in rows
            if row.number(pair.one.code) is not None and row.number(pair.other.code) is not None
        ]
        inputs = {
            "outcome": [_input(book, load, pair.one) for load in loads],
            "factor": [_input(book, load, pair.other) for load in loads],
        }
        constants = {
            "outcome_decimals": pair.one.decimals,
            "factor_decimals": pair.other.decimals,
        }
        shown = printed(pair.tau, 2)
        figure = Figure(
            pair.words, "N18 tau-b", inputs, pair.tau, "", shown, decimals(2), constants
        )
        book.give(f"{pair.one.code} and {pair.other.code} move together", figure)


def _loads_with(rows: list[LoadRow], factor: Factor) -> list[str]:
    return [
        row.load for row in rows if row.outcome is not None and row.number(factor.code) is not None
    ]


def _bounds(book: Book, load: str) -> frozenset[str]:
    """Factors of which only a least number of a load is known."""
    return frozenset(
        code for code, name in _OF_FIGURE.items() if is_least(book, f"load {load} {name}")
    )


def _value(book: Book, load: str, factor: Factor) -> float | None:
    value: float | None
    if factor.code in _OF_FIGURE:
        value = book.value(f"load {load} {_OF_FIGURE[factor.code]}")
    else:
        value = book.read("loads", load, factor.code, _unit(book, load, factor))
    return value


def _input(book: Book, load: str, factor: Factor) -> Input:
    if factor.code in _OF_FIGURE:
        return book.result(f"load {load} {_OF_FIGURE[factor.code]}")
    return book.take("loads", load, factor.code, _unit(book, load, factor))


def _unit(book: Book, load: str, factor: Factor) -> str:
    return _OF_ROW[factor.code][system_of(book, load)]
