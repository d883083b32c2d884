"""Time under cover of each strip (N14), what it is short of, and how old early loads found it.

Rows asked for: `covers` (panels, last_at, day), `uncovers` (panels, at), `breaks` (panels,
from_at, to_at), `early_loads` (panels, at), `loads` with the instants of placing; instants are
ISO 8601 with offset, so that elapsed time is that of UTC.
"""

from datetime import datetime

from registry.dossier.record import Book, Figure, Input, decimals, printed
from registry.placing import Break, Covered, NotGiven, duration_words, hours_covered


def add_cure_figures(book: Book) -> None:
    """Work out what the log of the cover gives."""
    for cover in book.of("covers"):
        uncovers = [
            name for name in book.of("uncovers") if _share_panels(book, "covers", cover, name)
        ]
        if not uncovers:
            book.give(f"{cover} covered", NotGiven("The time of uncover is missing."))
        for uncover in uncovers[:1]:
            _give_covered(book, cover, uncover)
    for early in book.of("early_loads"):
        _give_age(book, early)


def _give_covered(book: Book, cover: str, uncover: str) -> None:
    breaks = [
        name
        for name in book.of("breaks")
        if _panels(book, "breaks", name) & _panels(book, "covers", cover)
    ]
    for which, names in (("", []), (" less breaks", breaks)):
        if which and not breaks:
            continue
        found = hours_covered(
            _at(book, "covers", cover, "last_at"),
            _at(book, "uncovers", uncover, "at"),
            [_break(book, name) for name in names],
        )
        name = f"{cover} covered{which}"
        if isinstance(found, NotGiven):
            book.give(name, found)
            continue
        inputs: dict[str, Input | list[Input]] = {
            "covered_at": book.take("covers", cover, "last_at"),
            "uncovered_at": book.take("uncovers", uncover, "at"),
            "bare_at": [book.take("breaks", one, "from_at") for one in names],
            "relaid_at": [book.take("breaks", one, "to_at") for one in names],
        }
        _give_time(book, name, _says(book, cover, names), found, inputs)
        _give_short(book, cover, name, found)


def _says(book: Book, cover: str, breaks: list[str]) -> str:
    if not breaks:
        return f"{cover}: from last cover to first uncover, by UTC"
    panels = sorted(set().union(*(_panels(book, "breaks", one) for one in breaks)))
    return f"{cover}: the same less the break at {', '.join(panels)}"


def _give_time(
    book: Book,
    name: str,
    says: str,
    found: Covered,
    inputs: dict[str, Input | list[Input]],
) -> None:
    value, formula = found.covered_s, "N14 time covered"
    book.give(name, Figure(says, formula, inputs, value, "s", found.words, "duration"))


def _give_short(book: Book, cover: str, name: str, found: Covered) -> None:
    day = book.read("covers", cover, "day")
    required = (
        book.read("placing_days", day, "covered_hours_required")
        if day in book.of("placing_days")
        else None
    )
    if required is None:
        return
    inputs = {
        "covered": book.result(name),
        "required_h": book.take("placing_days", day, "covered_hours_required"),
    }
    short = found.short_by_s(required)
    says, formula = f"{name}: short of the hours required", "N14 short of the time required"
    figure = Figure(says, formula, inputs, short, "s", duration_words(short), "duration")
    book.give(f"{name} short", figure)


def _give_age(book: Book, early: str) -> None:
    """Hours from the end of the latest discharge in its panels to an early load."""
    loads = {
        book.read("spreads", name, "load")
        for name in book.of("spreads")
        if any(book.has(f"panel {panel} load {book.read('spreads', name, 'load')} share")
               for panel in _panels(book, "early_loads", early))
    }  # fmt: skip
    known = [load for load in loads if book.read("loads", load, "discharge_to")]
    on_panels = [
        load
        for load in known
        if any(
            book.has(f"panel {panel} load {load} share")
            for panel in _panels(book, "early_loads", early)
        )
    ]
    if not on_panels:
        return
    latest = max(on_panels, key=lambda load: str(book.read("loads", load, "discharge_to")))
    start, end = book.take("loads", latest, "discharge_to"), book.take("early_loads", early, "at")
    between = datetime.fromisoformat(end.value) - datetime.fromisoformat(start.value)
    hours = between.total_seconds() / 3600
    says = f"{early}: hours after load {latest} was placed"
    shown = f"{printed(hours, 1)} h"
    figure = Figure(
        says, "N14 hours between", {"from": start, "to": end}, hours, "h", shown, decimals(1)
    )
    book.give(f"{early} age", figure)


def _break(book: Book, name: str) -> Break:
    bare_at = _at(book, "breaks", name, "from_at")
    if bare_at is None:
        raise ValueError("a break has a beginning")
    relaid_at = _at(book, "breaks", name, "to_at")
    return Break(bare_at, relaid_at, ", ".join(sorted(_panels(book, "breaks", name))), "")


def _share_panels(book: Book, kind: str, name: str, uncover: str) -> bool:
    return bool(_panels(book, kind, name) & _panels(book, "uncovers", uncover))


def _panels(book: Book, kind: str, name: str) -> set[str]:
    return set(book.read(kind, name, "panels") or ())


def _at(book: Book, kind: str, name: str, cell: str) -> datetime | None:
    text = book.read(kind, name, cell)
    return datetime.fromisoformat(text) if text else None
