"""Dates and clocks of the claim (N20), and the settlement to the cent (N34).

Rows asked for: `terms` (one row), `parts`, `notice` (one row), `holidays` (one row), `clocks`
(one row a step: limit, the event it counts from, agreed and done dates), `settlement`.
It is arithmetic on the terms as entered; contract and law decide what they mean.
"""

from collections.abc import Callable
from datetime import date, datetime, time
from decimal import Decimal
from functools import partial

from registry.dossier.record import Book, Figure, Input
from registry.placing import (
    Counted,
    Counting,
    Limit,
    NotGiven,
    NoticeRule,
    SettlementLine,
    WorkCalendar,
    counted_received,
    due,
    last_day,
    settle,
)
from registry.placing.faults import ClaimError

_AS_IT_IS, _YES_NO = "as it is", "yes or no"
_NO_LIST = NotGiven("The contract’s holiday list is not on the record: no working day is counted.")
_NO_REST = NotGiven(
    "The contract’s holiday list does not say which days of the week are days of rest: no working "
    "day is counted."
)


def add_claim_figures(book: Book) -> None:
    """Work out what the terms and the dated steps give."""
    for kind in ("terms", "parts"):
        for name in book.of(kind):
            _refusing(book, f"last day of {name}", partial(_last_day, book, kind, name))
    for name in book.of("notice"):
        _refusing(book, "counted received", partial(_counted, book, name))
        _refusing(book, "notice by", partial(_notice_by, book, name))
        _refusing(book, "notice in time", partial(_in_time, book, name))
    for step in book.of("clocks"):
        _refusing(book, f"{step} due", partial(_due, book, step))
        _give_over(book, step)
    _give_settlement(book)


def _refusing(book: Book, name: str, figure: Callable[[], Figure | NotGiven]) -> None:
    try:
        book.give(name, figure())
    except ClaimError as fault:
        book.give(name, NotGiven(fault.message))


def _last_day(book: Book, kind: str, name: str) -> Figure | NotGiven:
    start, years = book.read(kind, name, "start_on"), book.read(kind, name, "years")
    found = last_day(date.fromisoformat(start) if start else None, years)
    if isinstance(found, NotGiven):
        return found
    ended = book.read(kind, name, "ended_early_on")
    if ended and ended < found.isoformat():
        return NotGiven(f"Ended by agreement on {ended}; by its years it would end on {found}.")
    inputs = {"start": book.take(kind, name, "start_on"), "years": book.take(kind, name, "years")}
    says = f"last day of {name}: the day before the anniversary"
    shown = found.isoformat()
    return Figure(says, "N20 last day", inputs, shown, "", shown, _AS_IT_IS)


def calendar_of(book: Book) -> WorkCalendar:
    """Working days of the contract's own list; every day where `_no_calendar` is not empty."""
    holidays = next(iter(book.of("holidays")), None)
    rest = book.read("holidays", holidays, "rest") if holidays is not None else None
    if holidays is None or rest is None:
        return WorkCalendar(rest=frozenset())
    days = book.read("holidays", holidays, "days") or []
    return WorkCalendar(frozenset(date.fromisoformat(day) for day in days), frozenset(rest))


def _no_calendar(book: Book) -> NotGiven | None:
    """Why no working day can be counted, None where one can."""
    name = next(iter(book.of("holidays")), None)
    if name is None:
        return _NO_LIST
    return _NO_REST if book.read("holidays", name, "rest") is None else None


def _calendar_inputs(book: Book) -> dict[str, Input]:
    """The list, where there is one; without it nothing that needs working days is worked out."""
    name = next(iter(book.of("holidays")), None)
    if name is None or _no_calendar(book) is not None:
        return {}
    return {
        "holidays": book.take("holidays", name, "days"),
        "rest": book.take("holidays", name, "rest"),
    }


def _counted(book: Book, name: str) -> Figure | NotGiven:
    arrived = book.read("notice", name, "arrived_local")
    if not arrived:
        return NotGiven("When the notice arrived is not known.")
    term = next(iter(book.of("terms")), None)
    if term is None:
        return NotGiven("There are no terms that say how a notice counts.")
    closes = book.read("terms", term, "notice_closes")
    rule = NoticeRule(
        book.read("terms", term, "notice_zone"),
        time.fromisoformat(closes) if closes else None,
        bool(book.read("terms", term, "notice_working_days_only")),
    )
    if (rule.closes or rule.working_days_only) and (missing := _no_calendar(book)) is not None:
        return missing
    found: Counted = counted_received(datetime.fromisoformat(arrived), rule, calendar_of(book))
    inputs = {
        "arrived_local": book.take("notice", name, "arrived_local"),
        "closes": book.take("terms", term, "notice_closes"),
        "working_days_only": book.take("terms", term, "notice_working_days_only"),
        **_calendar_inputs(book),
    }
    shown = found.on.isoformat()
    return Figure(found.why, "N20 counted received", inputs, shown, "", shown, _AS_IT_IS)


def _notice_by(book: Book, name: str) -> Figure | NotGiven:
    term = next(iter(book.of("terms")), None)
    days = book.read("terms", term, "notice_days") if term else None
    if term is None or days is None:
        return NotGiven("The terms set no notice days.")
    discovered = book.read("notice", name, "discovered_on")
    limit = Limit(days, Counting.CALENDAR, "discovery")
    found = due(date.fromisoformat(discovered) if discovered else None, limit, calendar_of(book))
    if isinstance(found, NotGiven):
        return found
    inputs = {
        "after": book.take("notice", name, "discovered_on"),
        "days": book.take("terms", term, "notice_days"),
        **_calendar_inputs(book),
    }
    constants = {"counting": "calendar", "to_working_day": False, "agreed": None}
    shown = found.on.isoformat()
    return Figure(found.why, "N20 due", inputs, shown, "", shown, _AS_IT_IS, constants)


def _in_time(book: Book, name: str) -> Figure | NotGiven:
    covering = book.read("notice", name, "covered_by")
    last = f"last day of {covering}"
    if not book.has("counted received", last):
        return NotGiven("Not decided: a date that it rests on is missing.")
    inputs = {"counted": book.result("counted received"), "last_day": book.result(last)}
    constants: dict[str, None] = {}
    if book.has("notice by"):
        inputs["notice_by"] = book.result("notice by")
    elif book.not_given["notice by"] != "The terms set no notice days.":
        return NotGiven("Not decided: the day of discovery is not known.")
    else:
        constants = {"notice_by": None}
    value = inputs["counted"].value <= inputs["last_day"].value and (
        "notice_by" not in inputs or inputs["counted"].value <= inputs["notice_by"].value
    )
    shown = "yes" if value else "no"
    says = "notice in time: on or before the last day and within the notice days"
    return Figure(says, "N20 in time", inputs, value, "", shown, _YES_NO, constants)


def _due(book: Book, step: str) -> Figure | NotGiven:
    event = book.read("clocks", step, "after_on")
    limit = Limit(
        book.read("clocks", step, "days"),
        Counting(book.read("clocks", step, "counting")),
        book.read("clocks", step, "after_what"),
        bool(book.read("clocks", step, "to_working_day")),
    )
    agreed = book.read("clocks", step, "agreed_on")
    needs_days = limit.counting == Counting.WORKING or limit.to_working_day
    if needs_days and (missing := _no_calendar(book)) is not None:
        return missing
    found = due(
        date.fromisoformat(event) if event else None,
        limit,
        calendar_of(book),
        agreed_on=date.fromisoformat(agreed) if agreed else None,
    )
    if isinstance(found, NotGiven):
        return found
    inputs = {
        "after": book.take("clocks", step, "after_on"),
        "days": book.take("clocks", step, "days"),
        "counting": book.take("clocks", step, "counting"),
        "to_working_day": book.take("clocks", step, "to_working_day"),
        "agreed": book.take("clocks", step, "agreed_on"),
        **_calendar_inputs(book),
    }
    shown = found.on.isoformat()
    return Figure(f"{step}: {found.why}", "N20 due", inputs, shown, "", shown, _AS_IT_IS)


def _give_over(book: Book, step: str) -> None:
    done = book.read("clocks", step, "done_on")
    if not done or not book.has(f"{step} due"):
        return
    value = (date.fromisoformat(done) - date.fromisoformat(book.value(f"{step} due"))).days
    inputs = {"done": book.take("clocks", step, "done_on"), "due": book.result(f"{step} due")}
    unit = "day" if value == 1 else "days"
    shown = f"{value} {unit} late" if value > 0 else "in time"
    says = f"{step}: done less due"
    figure = Figure(says, "N20 days over", inputs, value, "d", shown, "days late")
    book.give(f"{step} over", figure)


def _give_settlement(book: Book) -> None:
    names = list(book.of("settlement"))
    if not names:
        return
    read = {name: _settlement_line(book, name) for name in names}
    if len(told := dict.fromkeys(book.read("settlement", name, "currency") for name in names)) > 1:
        book.not_given["settlement"] = f"The lines are in different currencies: {', '.join(told)}."
        return
    try:
        settled = settle(list(read.values()))
    except ClaimError as fault:
        book.not_given["settlement"] = fault.message
        return
    for name, line in zip(names, settled.lines, strict=True):
        inputs = {
            "area": book.take("settlement", name, "area", book.read("settlement", name, "unit")),
            "price": book.take("settlement", name, "price"),
        }
        cost = str(line.cost)
        says = f"settlement {name}: area times price"
        book.give(
            f"settlement {name} cost",
            Figure(says, "N34 cost", inputs, cost, "", cost, _AS_IT_IS),
        )
        for which, (party, amount) in enumerate(line.amounts.items()):
            parts: dict[str, Input] = {
                "cost": book.result(f"settlement {name} cost"),
                "percents": book.take("settlement", name, "percents"),
            }
            says, value = f"settlement {name}: part of the {party}", str(amount)
            figure = Figure(says, "N34 part", parts, value, "", value, _AS_IT_IS, {"which": which})
            book.give(f"settlement {name} {party}", figure)
    for what, total in (("cost", settled.cost), *settled.amounts.items()):
        values = book.results(
            one for name in names if (one := f"settlement {name} {what}") in book.figures
        )
        says, shown = f"settlement: sum of {what}", str(total)
        figure = Figure(says, "sum", {"values": values}, shown, "", shown, _AS_IT_IS)
        book.give(f"settlement sum {what}", figure)


def _settlement_line(book: Book, name: str) -> SettlementLine:
    unit = book.read("settlement", name, "unit")
    percents = book.read("settlement", name, "percents")
    parties = book.read("settlement", name, "parties")
    return SettlementLine(
        tuple(book.read("settlement", name, "panels")),
        book.read("settlement", name, "area", unit),
        Decimal(book.read("settlement", name, "price")),
        {party: Decimal(str(p)) for party, p in zip(parties, percents, strict=True)},
    )
