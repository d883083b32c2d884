"""Loads covered late against the rest, by each limit that counts, on paper as on the page.

Which limits there are and where they come from: `registry.placing.covered_late`. The times, limits,
areas and shares of all loads compared go in, so that whoever checks picks the late ones himself.
"""

from collections.abc import Sequence

from registry.dossier.look_figures import LookDay, raveled_name
from registry.dossier.record import Book, Figure, Input, decimals, printed
from registry.placing.covered_late import LATE_MIN, LateRule, day_rule, house_rule

LATE, OTHERS = "loads covered late, mean", "other loads, mean"
LATE_BY_DAY = "loads covered after the limit of their day, mean"
OTHERS_BY_DAY = "loads covered within the limit of their day, mean"
PAIRS = ((LATE, OTHERS), (LATE_BY_DAY, OTHERS_BY_DAY))
"""Names of the figures of late loads and the rest: by the limit for comparing, by the day's."""
FORMULA = "late against the rest"


def late_rule(book: Book, name: str) -> LateRule | None:
    """The limit behind a pair of figures; None where no day has one."""
    by_load = {load: (_day_of(book, load), _limit_of(book, load)) for load in book.of("loads")}
    return house_rule(by_load) if name == LATE else day_rule(by_load)


def loads_of(book: Book, name: str) -> str:
    """ "7, 8, 9", the loads of one side."""
    return book.figures[name].says.rpartition(": ")[2]


def in_neither(book: Book, name: str) -> tuple[str, ...]:
    """Loads with a raveled share that a pair leaves out, for want of a time or of a limit."""
    late, rest = next(pair for pair in PAIRS if name in pair)
    used = {load for side in (late, rest) for load in loads_of(book, side).split(", ")}
    return tuple(load for load in book.of("loads") if load not in used)


def give_late(book: Book, day: LookDay) -> None:
    """Work out the raveled share of late loads and of the rest, by both limits."""
    for late, rest in PAIRS:
        rule = late_rule(book, late)
        if rule is not None:
            _give_pair(book, day, rule, late, rest)


def _give_pair(book: Book, day: LookDay, rule: LateRule, late: str, rest: str) -> None:
    minutes = {load: book.value(f"load {load} lag") for load in book.of("loads")}
    used = [
        load
        for load in rule.decided(minutes)
        if book.has(raveled_name(load, day), f"load {load} area")
    ]
    over = [load for load in rule.late(minutes) if load in used]
    if not used:
        book.not_given[late] = "No load has both a time to cover and a raveled share."
        return
    if not over or len(over) == len(used):
        which = "every load compared" if over else "no load compared"
        words = f"{which} was covered later than {rule.words} ({rule.source})."
        book.not_given[late] = f"{words[0].upper()}{words[1:]}"
        return
    inputs = {
        "lags": book.results(f"load {load} lag" for load in used),
        "weights": book.results(f"load {load} area" for load in used),
        "values": book.results(raveled_name(load, day) for load in used),
        **_limits(book, late, used),
    }
    for name, loads in ((late, over), (rest, [load for load in used if load not in over])):
        value = _mean(book, day, loads)
        shown, form = f"{printed(value, 1, 100)} %", decimals(1, 100)
        side = "covered later" if name == late else "not covered later"
        says = (
            f"loads {side} than {rule.words} ({rule.source}), mean raveled share by area on "
            f"{day.on}: {', '.join(loads)}"
        )
        constants = {"late": name == late} | ({"limit_min": LATE_MIN} if late == LATE else {})
        book.give(name, Figure(says, FORMULA, inputs, value, "", shown, form, constants))


def _limits(book: Book, late: str, used: Sequence[str]) -> dict[str, list[Input]]:
    if late == LATE:
        return {}
    days = (book.read("loads", load, "day") for load in used)
    return {"limits": [book.take("placing_days", day, "cover_within_min") for day in days]}


def _mean(book: Book, day: LookDay, loads: Sequence[str]) -> float:
    areas = [book.value(f"load {load} area") for load in loads]
    shares = [book.value(raveled_name(load, day)) for load in loads]
    total = sum(area * share for area, share in zip(areas, shares, strict=True))
    return float(total / sum(areas))


def _day_of(book: Book, load: str) -> str:
    day: str = book.read("loads", load, "day") or ""
    return day


def _limit_of(book: Book, load: str) -> float | None:
    day = book.read("loads", load, "day")
    if day not in book.of("placing_days"):
        return None
    limit: float | None = book.read("placing_days", day, "cover_within_min")
    return limit
