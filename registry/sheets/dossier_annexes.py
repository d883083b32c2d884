"""Annexes A to D of a callback dossier: plan with load limits, load record, cover, tests."""

from collections.abc import Iterator

from registry.dossier import Book
from registry.dossier.late_figures import PAIRS, in_neither
from registry.dossier.load_figures import system_of
from registry.dossier.look_figures import (
    LookDay,
    compared_day,
    look_days,
    pairs_of,
    panel_of,
    raveled_name,
    share_of,
)
from registry.dossier.neighbour_figures import ALONE
from registry.dossier.panel_figures import change_name, shares_of
from registry.dossier.pattern_figures import left_out_name, tau_name
from registry.dossier.winter_figures import IN_ZONE, OUT_OF_ZONE
from registry.drawing.loads_picture import BareMark, LoadsShown, loads_picture
from registry.placing import LoadShares, NotGiven
from registry.placing.pattern import SEED, SHUFFLES
from registry.placing.ways import WORDS
from registry.sheets.dossier_front import finding_row, front_days
from registry.sheets.dossier_looks import look_blocks, neighbour_blocks
from registry.sheets.dossier_numbers import FACTOR_WORDS
from registry.sheets.flowing import Block, Column, Said, Table
from registry.units import Kind, System, show

PICTURE_MM = (178.0, 205.0)
_MIX = ("volume", "cementitious", "batch_water", "free_moisture", "site_water")
_NO_PLAN = "There is no plan of panels in the record, so no picture and no load limits."


def plan_blocks(book: Book) -> Iterator[Block]:
    """A: the plan, then every panel, then findings with evidence for and against."""
    days = front_days(book)
    if book.of("panels"):
        yield from _pictures(book, days)
    else:
        yield Said(_NO_PLAN)
    heads = [f"raveled % {day.on[2:]}" for day in days] + [""] * (3 - len(days))
    columns = (
        Column("panel", 10.5),
        *(Column(head, 18.0, right=True) for head in heads),
        Column("loads, part", 30.5),
        Column("lag min", 11.0, right=True),
        Column("w/cm", 19.5),
        Column("sheet break", 11.0),
        Column("winter zone", 12.0),
        Column("how far shown: cause", 30.0),
    )
    rows = tuple(finding_row(book, panel, days) for panel in book.of("panels"))
    graded = f" ({WORDS.get(days[0].graded_by, 'way not written down')})" if days else ""
    foot = (
        f"Raveled{graded}: outlined area over the area of the panel. Lag: time from discharge to "
        "cover of its loads, by area. The zone: see annex F."
    )
    yield Table("Every panel", columns, rows, foot if rows else "")
    yield from look_blocks(book)
    yield Table(
        "Findings, panel by panel",
        (
            Column("panel", 11.0), Column("cause", 23.0), Column("how far", 13.0),
            Column("found by", 24.0), Column("on", 19.5), Column("evidence for", 44.0),
            Column("evidence against", 24.0), Column("missing", 20.0),
        ),
        tuple(
            tuple(
                row[cell].shown if cell in row else ""
                for cell in ("panel", "cause", "confidence", "found_by", "found_on",
                             "speaks_for", "speaks_against", "missing")
            )
            for row in book.of("findings").values()
        ),
        "Evidence, not a verdict: two causes in one panel are two lines.",
    )  # fmt: skip


def _pictures(book: Book, days: tuple[LookDay, ...]) -> Iterator[Block]:
    """The loads over the panels with the first look; the panels alone where they have no limits."""
    panels = [panel_of(book, name) for name in book.of("panels")]
    shares = shares_of(book)
    if isinstance(shares, NotGiven):
        yield Said(f"No loads on the picture: {shares.reason}")
        shares = LoadShares((), {panel.name: panel.area_m2 for panel in panels}, (), ())
    first = compared_day(book)
    known = {p: share_of(book, first, p) for p in first.rows} if first else {}
    raveled = {p: f"{100 * share:.0f} %" for p, share in known.items() if share is not None}
    zone = [name for name in book.of("panels") if book.read("panels", name, "in_winter_zone")]
    words = first.words if first else ""
    shown = LoadsShown(shares, raveled, words, tuple(_bare(book)), zone)
    yield loads_picture(shown, panels, PICTURE_MM)


def _bare(book: Book) -> Iterator[BareMark]:
    for name in book.of("breaks"):
        panels = tuple(book.read("breaks", name, "panels") or ())
        begin, end = (book.read("breaks", name, cell) for cell in ("from_at", "to_at"))
        if panels:
            yield BareMark(panels, f"{_clock(begin or '')} to {_clock(end or '') or 'not known'}")


def load_blocks(book: Book) -> Iterator[Block]:
    """B: limits of each day, loads as read, what each gives, patterns."""
    for day, row in book.of("placing_days").items():
        told = "; ".join(
            f"{cell.replace('_', ' ')} {found.shown}" for cell, found in row.items() if found.shown
        )
        yield Said(told, f"Placing day {day}")
    yield _times(book)
    yield _mixes(book)
    yield _weather(book)
    yield _raveled(book)
    yield from _patterns(book)


def _clock(text: str) -> str:
    return text[11:16] if len(text) > 16 else text


def _times(book: Book) -> Table:
    cells = ("batched", "arrived", "discharge_from", "discharge_to", "cover_first", "cover_last")
    rows = []
    for load, row in book.of("loads").items():
        times = (row[c].written or _clock(row[c].read or row[c].empty) for c in cells)
        wait, lag = book.shown(f"load {load} wait"), book.shown(f"load {load} lag")
        rows.append((load, _shown(row, "ticket"), _shown(row, "day"), *times, wait, lag))
    columns = (
        Column("load", 10.0), Column("ticket", 19.0), Column("day", 20.0),
        *(Column(head, 15.0) for head in
          ("batched", "arrived", "disch. from", "to", "cover 1st ft", "last ft")),
        Column("batch to disch.", 19.0, right=True), Column("longest to cover", 20.0, right=True),
    )  # fmt: skip
    foot = (
        "Times as written, at the site’s clock. N13: elapsed by UTC; of first and last foot the "
        "longer counts."
    )
    return Table("Loads, times", columns, tuple(rows), foot if rows else "")


def _mixes(book: Book) -> Table:
    rows = tuple(
        (
            load,
            *(_shown(row, cell) for cell in _MIX),
            _shown(row, "site_water_by"),
            book.shown(f"load {load} w/cm"),
            _shown(row, "density"),
            book.shown(f"load {load} density").replace(" of the approved density,", ","),
        )
        for load, row in book.of("loads").items()
    )
    columns = (
        Column("load", 10.0), Column("volume", 15.0), Column("cementi- tious", 19.0),
        Column("batch water", 16.0), Column("free moisture", 17.0), Column("site water", 14.0),
        Column("ordered by", 16.0), Column("w/cm", 16.0, right=True),
        Column("fresh density", 20.0), Column("against approved", 35.0),
    )  # fmt: skip
    foot = (
        "N12: (batch water + free moisture + k × site water) / (cementitious × volume); k = 8.34 "
        "lb/gal, 1 kg/L. N16: (density − approved) / approved."
    )
    return Table("Loads, water and density", columns, rows, foot if rows else "")


def _weather(book: Book) -> Table:
    rows = tuple(
        (
            load,
            *(_shown(row, cell) for cell in ("air", "humidity", "wind", "concrete")),
            book.shown(f"load {load} evaporation"),
            "inch-pound" if system_of(book, load) is System.INCH_POUND else "SI",
            _shown(row, "placed"),
        )
        for load, row in book.of("loads").items()
    )
    columns = (
        Column("load", 10.0), Column("air", 17.0), Column("humidity %", 17.0),
        Column("wind", 17.0), Column("concrete", 20.0), Column("evaporation", 32.0, right=True),
        Column("form", 20.0), Column("placed (lane, from-to)", 45.0),
    )  # fmt: skip
    foot = (
        "N11 (Uno 1998), inch-pound: (Tc^2.5 − r Ta^2.5)(1 + 0.4 V) 10^-6; SI: 5 ((Tc+18)^2.5 − r "
        "(Ta+18)^2.5)(V + 4) 10^-6. Real evaporation can be 40 % off: a guide."
    )
    return Table("Loads, weather and place", columns, rows, foot if rows else "")


def _raveled(book: Book) -> Table:
    compared = compared_day(book)
    days = [day for day in look_days(book) if day != compared][:3]
    days = [*([compared] if compared else []), *days]
    pairs = [pair for pair in pairs_of(look_days(book)) if pair[0] == compared]
    silent = [d for d in days if not any(book.has(raveled_name(n, d)) for n in book.of("loads"))]
    if len(silent) < len(days):
        days = [day for day in days if day not in silent]
    rows = tuple(
        (
            load,
            _area(book, load),
            *(book.shown(raveled_name(load, day)) for day in days),
            *(book.shown(change_name(load, one, other)) for one, other in pairs),
        )
        for load in book.of("loads")
    )
    columns = (
        Column("load", 10.0), Column("area on panels", 26.0, right=True),
        *(Column(f"raveled {day.words}", 26.0, right=True) for day in days),
        *(Column(f"change {one.on} to {other.on}", 30.0, right=True) for one, other in pairs),
    )  # fmt: skip
    foot = (
        "N17: raveled share of each panel, weighted by the part of it that the load filled. The "
        "load is the unit of comparison: panels of one load are no trials of their own."
    )
    if unshown := [day.words for day in silent if day not in days]:
        foot += f" Not given for any load: {'; '.join(unshown)}. Annex I says why."
    return Table("Raveled share of each load", columns, rows, foot if rows else "")


def _area(book: Book, load: str) -> str:
    """The area of a load in the units its ticket was read in; annex I has it in those kept."""
    if not book.has(f"load {load} area"):
        return book.shown(f"load {load} area")
    return show(book.value(f"load {load} area"), Kind.AREA, system_of(book, load))


def _patterns(book: Book) -> Iterator[Block]:
    rows = tuple(
        (words, book.shown(tau_name(code)), book.shown(f"p of {tau_name(code)}"))
        for code, words in FACTOR_WORDS.items()
        if book.shown(tau_name(code))
    )
    columns = (
        Column("factor", 60.0), Column("tau-b", 40.0), Column("p by shuffling loads", 60.0),
    )  # fmt: skip
    if compared := book.not_given.get("look compared"):
        yield Said(compared)
    yield Table("Does raveling follow the loads? (N18)", columns, rows, _of_pattern(book))
    for name, one in book.figures.items():
        if name.endswith("move together"):
            yield Said(f"{one.says}")
    for code in FACTOR_WORDS:
        if left_out := book.not_given.get(left_out_name(code)):
            yield Said(left_out)
    for late, rest in PAIRS:
        yield from _said(book, late, rest)
        if book.has(late, rest) and (neither := in_neither(book, late)):
            yield Said(f"In neither, for want of a time or a limit: {', '.join(neither)}.")
    yield from _said(book, IN_ZONE, OUT_OF_ZONE)
    yield from neighbour_blocks(book)
    yield from _said(book, ALONE)


def _said(book: Book, *names: str) -> Iterator[Said]:
    for name in names:
        if name in book.figures:
            says = book.figures[name].says
            yield Said(f"{says[0].upper()}{says[1:]}: {book.shown(name)}, by area.")
        elif name in book.not_given:
            yield Said(book.not_given[name])


def _of_pattern(book: Book) -> str:
    tried = book.not_given.get("factors tried", "")
    return (
        f"{tried} Kendall’s tau-b, one value a load; {SHUFFLES} shuffles, seed {SEED}. No cause is "
        "named by it."
    )


def cover_blocks(book: Book) -> Iterator[Block]:
    """C: the log as written, then strips, breaks and early loads with what they give."""
    yield rows_of(
        book,
        "cover_log",
        "The log as written",
        (
            ("when", "", 36.0),
            ("what", "what", 66.0),
            ("who", "who", 28.0),
            ("result", "result", 48.5),
        ),
    )
    rows = tuple(
        (
            cover,
            _shown(row, "panels"),
            _shown(row, "last_at"),
            book.shown(f"{cover} covered"),
            book.shown(f"{cover} covered less breaks"),
            book.shown(f"{cover} covered short"),
        )
        for cover, row in book.of("covers").items()
    )
    columns = (
        Column("strip", 28.0), Column("panels", 62.0), Column("last foot covered", 24.0),
        Column("covered", 22.0), Column("less breaks", 22.0), Column("short of required", 20.0),
    )  # fmt: skip
    foot = "N14: from the last cover to the first uncover, elapsed by UTC, not by the clock."
    yield Table("Hours covered", columns, rows, foot if rows else "")
    yield rows_of(
        book,
        "breaks",
        "Breaks of the cover",
        (("break", "", 30.0), ("panels", "panels", 40.0), ("off", "from_at", 44.0),
         ("laid again", "to_at", 44.0), ("cause", "cause", 20.0)),
    )  # fmt: skip
    yield rows_of(
        book,
        "uncovers",
        "Uncovered for good",
        (("strip", "", 46.0), ("panels", "panels", 78.0), ("at", "at", 54.0)),
    )
    early = tuple(
        (name, _shown(row, "panels"), _shown(row, "at"), book.shown(f"{name} age"))
        for name, row in book.of("early_loads").items()
    )
    heads = (Column("what", 60.0), Column("panels", 40.0), Column("at", 48.0), Column("age", 30.0))
    yield Table("Feet, animals and wheels before release", heads, early)


def test_blocks(book: Book) -> Iterator[Block]:
    """D: every test with its raw readings."""
    cells = ("on", "place", "ring", "prewet", "water", "time", "ended")
    rows = tuple(
        (
            test,
            *(_shown(row, cell) for cell in cells),
            book.shown(f"test {test} rate"),
            _shown(row, "note"),
        )
        for test, row in book.of("tests").items()
    )
    columns = (
        Column("test", 13.0), Column("date", 19.5), Column("place", 20.0), Column("ring", 13.0),
        Column("prewet", 13.0), Column("water", 14.0), Column("time", 13.0),
        Column("ended", 15.0), Column("rate", 18.0, right=True), Column("remark", 40.0),
    )  # fmt: skip
    foot = (
        "N1, ASTM C1701/C1781: I = K M / (D² t); K = 126 870 (lb, in, s → in/h) or 4 583 666 000 "
        "(kg, mm, s → mm/h), by the system each was read in."
    )
    yield Table("Tests with raw readings", columns, rows, foot if rows else "")


def rows_of(
    book: Book, kind: str, title: str, columns: tuple[tuple[str, str, float], ...]
) -> Table:
    """Rows of a kind as a table: (heading, cell, width); "" stands for the name of the row."""
    rows = tuple(
        tuple(_shown(row, cell) if cell else name for _, cell, _ in columns)
        for name, row in book.of(kind).items()
    )
    return Table(title, tuple(Column(head, width) for head, _, width in columns), rows)


def _shown(row: object, cell: str) -> str:
    found = row.get(cell)  # type: ignore[attr-defined]
    return found.shown if found else ""
