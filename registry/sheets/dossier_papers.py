"""Annexes E to I of a callback dossier: photos, winter, letters, cores, and every figure."""

import re
from collections.abc import Iterator, Mapping, Sequence

from registry.dossier import Book, Figure, Input
from registry.dossier.winter_figures import IN_ZONE
from registry.sheets.dossier_annexes import rows_of
from registry.sheets.flowing import Block, Column, Said, Table, Thumb

OF_A_LOAD = re.compile(r"load (\S+) (.+)")
FORMULAS = (
    ("N1 rate", "K M / (D² t), ASTM C1701/C1781"),
    ("N11 evaporation", "Uno, ACI Materials Journal 95-M34 (1998), in the form kept"),
    (
        "N12 water over cementitious",
        "(batch + moisture + k × site water) / (cementitious × volume)",
    ),
    ("N13 batch to discharge; discharge to cover", "minutes by UTC; the longer of first and last"),
    ("N14 time covered", "uncover − cover by UTC, less breaks, overlaps counted once"),
    ("N15 yield", "sum of volumes / (sum of areas × thickness)"),
    ("N16 length, density", "length − plan; (density − approved) / approved"),
    ("area of an outline", "half the sum of x1 y2 − x2 y1 round it"),
    ("share of a panel", "area of the outline between from and to / area of the outline"),
    ("N17 raveled share of a panel", "area of its outlines, overlaps once / area of the panel"),
    ("N17 area written over the panel", "area written for it / area of the panel, 1 at most"),
    ("N17 raveled share of a load", "sum of share × area × raveled / sum of share × area"),
    ("weighted mean", "sum of weight × value / sum of weights"),
    (
        "late against the rest",
        "weighted mean of the loads whose time to cover is over their limit, and of those not over",
    ),
    ("N18 tau-b", "Kendall 1945: S / √((n0 − n1)(n0 − n2)), values rounded as stated"),
    ("N18 p by shuffling", "(orders with |S| as large + 1) / (orders + 1)"),
    ("N19 change", "after − before, same panel, same way of grading"),
    ("difference", "of two panels side by side: the more raveled one − the other, on one day"),
    ("N20", "last day: day before the anniversary, 29 Feb to 28 Feb; days counted after the event"),
    ("N31 amount over area", "sum of amounts / area"),
    ("N34", "area × price; part by percent, rest of rounding to the last named; cents half up"),
)


def photo_blocks(book: Book, thumbs: Mapping[str, bytes]) -> Iterator[Block]:
    """E: every photo with the fingerprint of its original, drawn small where there is a picture."""
    photos = book.of("photos")
    words = f"{len(photos)} photo{'' if len(photos) == 1 else 's'}; SHA-256 of each original."
    yield Said(words if photos else "No photo in the record.")
    for name, row in photos.items():

        def told(cell: str, label: str = "", row: Mapping = row) -> str:
            shown = row[cell].shown if cell in row else ""
            return f"{label}{shown}" if shown else ""

        facts = (
            told("camera_time", "camera time "), told("true_time", "true time "),
            told("place"), told("handling"),
        )  # fmt: skip
        file = told("file") or f"not in the archive: {told('left_out') or 'no reason given'}"
        yield Thumb(
            thumbs.get(name),
            (f"{name}: {told('shows')}", "; ".join(filter(None, facts)),
             told("sha256", "SHA-256 "), file),
        )  # fmt: skip


def winter_blocks(book: Book) -> Iterator[Block]:
    """F: the winter log line by line, then sums, then the rule of the zone."""
    yield rows_of(
        book,
        "winter",
        "Winter log",
        (("date", "on", 20.0), ("by", "by", 32.0), ("what", "what", 34.0),
         ("where", "where", 40.0), ("amount", "amount", 24.0), ("source", "source", 28.5)),
    )  # fmt: skip
    for name in (*book.figures, *book.not_given):
        if name.startswith("winter "):
            yield Said(f"{name}: {book.shown(name)}")
    yield Said(_zone_words(book), "Plow or salt zone")


def _zone_words(book: Book) -> str:
    inside = [p for p in book.of("panels") if book.read("panels", p, "in_winter_zone")]
    row = next(iter(book.of("callback").values()), {})
    rule = row["zone_rule"].shown if "zone_rule" in row else ""
    compared = book.figures[IN_ZONE].says if book.has(IN_ZONE) else ""
    told = f"Compared: {compared}" if compared else ""
    return " ".join(filter(None, (f"{', '.join(inside) or 'no panel'}.", rule, told)))


def letter_blocks(book: Book) -> Iterator[Block]:
    """G: what both sides wrote and said, answers, third parties, settlement, repairs."""
    yield from _as_told(book)
    for name, row in book.of("letters").items():
        who = row["who"].shown if "who" in row and row["who"].read is not None else ""
        yield Said(row["text"].shown, ", ".join(filter(None, (name, who))))
    if not book.of("letters"):
        yield Said("No letter, call or reply is in the record.")
    yield rows_of(
        book,
        "answers",
        "Answers",
        (("answer", "", 34.0), ("accepted", "accepted", 34.0),
         ("declined, clause", "declined", 60.0), ("remedy by", "remedy_by", 22.0),
         ("dispute by", "may_dispute_by", 28.5)),
    )  # fmt: skip
    yield rows_of(
        book,
        "third_parties",
        "Third parties",
        (("name", "", 36.0), ("named by", "named_by", 30.0), ("question", "question", 50.0),
         ("report", "report", 62.5)),
    )  # fmt: skip
    yield _clocks(book)
    yield rows_of(
        book, "moves", "What became of it",
        (("date", "on", 22.0), ("state", "state", 46.0), ("because", "why", 70.0),
         ("signed", "signed", 40.5)),
    )  # fmt: skip
    yield _settlement(book)
    yield rows_of(
        book, "repairs", "Repairs",
        (("repair", "", 26.0), ("method", "method", 36.0), ("panels", "panels", 42.0),
         ("out", "out", 22.0), ("in", "in", 26.0), ("state", "state", 26.5)),
    )  # fmt: skip
    if book.of("came_back"):
        yield rows_of(
            book, "came_back", "Came back after a repair",
            (("defect", "", 60.0), ("against the repair’s warranty", "compared", 118.5)),
        )  # fmt: skip


def _as_told(book: Book) -> Iterator[Block]:
    """What the front sheet may have no room for: the claim, and what is not known."""
    for row in book.of("callback").values():
        for cell, lead in (("claim", "The claim"), ("as_received", "The notice as received"),
                           ("not_known", "Not known")):  # fmt: skip
            if cell in row and row[cell].read:
                yield Said(row[cell].shown, lead)


def _clocks(book: Book) -> Table:
    """Every clock with its rule in full: what moved it, and years without a listed holiday."""
    rows = [
        (what, book.shown(what) if book.has(what) else "no day", "", _why(book, what))
        for what in ("notice by", "counted received")
    ]
    for step, row in book.of("clocks").items():
        told = _why(book, f"{step} due").removeprefix(f"{step}: ")
        over = f"Done {book.shown(f'{step} over')}." if book.has(f"{step} over") else ""
        due_on = book.shown(f"{step} due") if book.has(f"{step} due") else "no day yet"
        done = row["done_on"].shown or "not done"
        rows.append((step, due_on, done, f"{told} {over}".strip()))
    for step, row in book.of("agreed_days").items():
        told = "Agreed by both; the terms have no limit for it."
        rows.append((step, row["due_on"].shown, row["done_on"].shown or "not done", told))
    for step, row in book.of("said_days").items():
        told = f"A new date {row['words'].shown}; no clock follows it."
        rows.append((step, row["due_on"].shown, "", told))
    columns = (
        Column("clock", 32.0), Column("day", 24.0), Column("done", 24.0), Column("rule", 98.5),
    )  # fmt: skip
    return Table("Clocks", columns, tuple(rows))


def _why(book: Book, name: str) -> str:
    """What a figure says of itself, or why it may not be given."""
    return book.figures[name].says if book.has(name) else book.not_given.get(name, "not worked out")


def _settlement(book: Book) -> Table:
    first = next(iter(book.of("settlement")), None)
    parties: list[str] = book.read("settlement", first, "parties") if first else []
    rows = [
        (
            name,
            *(
                book.of("settlement")[name][cell].shown
                for cell in ("area", "price", "currency", "percents")
            ),
            book.shown(f"settlement {name} cost"),
            *(book.shown(f"settlement {name} {party}") for party in parties),
        )
        for name in book.of("settlement")
    ]
    if rows:
        sums = (book.shown(f"settlement sum {what}") for what in ("cost", *parties))
        rows.append(("sum", "", "", "", "", *sums))
    columns = (
        Column("panels", 34.0), Column("area", 22.0), Column("price", 20.0),
        Column("currency", 16.0), Column(f"percent: {', '.join(parties)}", 26.0),
        Column("cost", 20.0, right=True),
        *(Column(party, 20.0, right=True) for party in parties),
    )  # fmt: skip
    return Table("Settlement", columns, tuple(rows))


def core_blocks(book: Book) -> Iterator[Block]:
    """H: cores."""
    rows = tuple(
        (
            core,
            *(row[c].shown if c in row else ""
              for c in ("panel", "taken_on", "surface", "length", "density", "chloride", "fines",
                        "bottom_closed", "seen", "cause")),
        )
        for core, row in book.of("cores").items()
    )  # fmt: skip
    columns = (
        Column("core", 11.0), Column("panel", 11.0), Column("taken", 18.0),
        Column("surface", 16.0), Column("length", 14.0), Column("density", 20.0),
        Column("chloride %", 16.0), Column("fines to", 15.0), Column("bottom closed", 15.0),
        Column("seen", 24.0), Column("cause named", 18.5),
    )  # fmt: skip
    yield Table("Cores", columns, rows, "Chloride by mass of concrete.", "No core was taken.")
    for name in (*book.figures, *book.not_given):
        if name.startswith("core "):
            yield Said(f"{book.figures[name].says}: {book.shown(name)}")


def figure_blocks(book: Book, record_sha256: str) -> Iterator[Block]:
    """I: every figure with inputs, formula and constants; then what may not be given, and why."""
    yield Said(
        "Each line gives a figure, its formula and constants, and the inputs in the units used. "
        f"The same stands in record.json of the archive, whose SHA-256 is {record_sha256}."
    )
    yield Table("Formulas", (Column("formula", 62.0), Column("what it does", 116.5)), FORMULAS)
    rows = tuple((name, one.shown, _how(one), _inputs(one)) for name, one in book.figures.items())
    columns = (
        Column("figure", 42.0), Column("value", 26.0), Column("formula; constants", 36.0),
        Column("inputs", 74.5),
    )  # fmt: skip
    yield Table("Every figure", columns, rows)
    yield Table(
        "Not given",
        (Column("figure", 52.0), Column("why", 126.5)),
        tuple(folded(book.not_given)),
        empty="Nothing was left out.",
    )


def folded(not_given: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Give (figure, why) of each; what every load lacks for one reason stands in one line."""
    told: dict[tuple[str, str], list[str]] = {}
    for name, why in not_given.items():
        found = OF_A_LOAD.fullmatch(name)
        own = f"load {found[1]}" if found else ""
        same = (f"load {{}} {found[2]}", why.replace(own, "load {}")) if found else (name, why)
        told.setdefault(same, []).append(found[1] if found else "")
    for (name, why), loads in told.items():
        if loads == [""]:
            yield name, why
        elif len(loads) == 1:
            yield name.replace("{}", loads[0]), why.replace("{}", loads[0])
        else:
            each = why.replace("load {}", "each of these loads")
            yield name.replace("load {}", f"loads {', '.join(loads)}"), each


def _how(one: Figure) -> str:
    constants = ", ".join(f"{name} {_value(value)}" for name, value in one.constants.items())
    return "; ".join(filter(None, (one.formula, constants)))


def _inputs(one: Figure) -> str:
    return "; ".join(f"{name} {_given(given)}" for name, given in one.inputs.items())


def _given(given: Input | Sequence[Input]) -> str:
    if isinstance(given, Input):
        return f"{_value(given.value)} {given.unit}".strip()
    units = {each.unit for each in given}
    values = ", ".join(_value(each.value) for each in given) or "none"
    return f"{values} {units.pop() if len(units) == 1 else ''}".strip()


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.9g}"
    if isinstance(value, list | tuple):
        return f"({' '.join(_value(one) for one in value)})"
    return "none" if value is None else str(value)
