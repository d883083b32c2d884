"""The front sheet of a callback dossier in words, out of the rows and figures of its book."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from registry.dossier import Book, Cell
from registry.dossier.look_figures import LookDay, compared_day, look_days, share_of
from registry.gathering.pours import NO_RECORD
from registry.placing.working_days import SILENT_LIST
from registry.sheets.dossier_numbers import SHORT, number_lines

FINDING_ROWS = 14
NOT_KNOWN_LINES = 3
TERM_LINES = 3
_ANSWER_CELLS = ("accepted", "declined", "goodwill", "remedy_by", "may_dispute_by")


@dataclass(frozen=True)
class FrontSheet:
    """Words of each block. clocks: (what, due, done, rule). findings: cells of a panel.

    graded  the one way of grading behind the raveled shares
    """

    facts: tuple[tuple[str, str], ...]
    clocks: tuple[tuple[str, str, str, str], ...]
    terms: tuple[tuple[str, str], ...]
    claim: str
    look_days: tuple[str, ...]
    graded: str
    findings: tuple[tuple[str, ...], ...]
    findings_left: int
    numbers: tuple[str, ...]
    cores: tuple[str, ...]
    not_known: tuple[str, ...]
    answer: tuple[tuple[str, str], ...]
    prepared: str


def front_of(book: Book) -> FrontSheet:
    """What stands on the front sheet."""
    days = front_days(book)
    rows = tuple(finding_row(book, panel, days) for panel in claimed_panels(book))
    return FrontSheet(
        facts=tuple(_facts(book)),
        clocks=tuple(_clocks(book)),
        terms=tuple(_terms(book)),
        claim=_told(book, "as_received") or _told(book, "claim"),
        look_days=tuple(day.on for day in days),
        graded=SHORT.get(days[0].graded_by, "") if days else "",
        findings=rows[:FINDING_ROWS],
        findings_left=max(len(rows) - FINDING_ROWS, 0),
        numbers=tuple(number_lines(book)),
        cores=tuple(_core(book, core) for core in book.of("cores")),
        not_known=tuple(_said(book, "callback", "not_known").splitlines()),
        answer=tuple(_answer(book)),
        prepared=_said(book, "callback", "prepared"),
    )


def front_days(book: Book) -> tuple[LookDay, ...]:
    """Three looks that stand on the front: that compared, and of those graded alike two more.

    The first and the last; ways of grading never stand in one row.
    """
    compared = compared_day(book)
    if compared is None:
        return ()
    alike = [day for day in look_days(book) if day.graded_by == compared.graded_by]
    nth = next(n for n, day in enumerate(alike) if day.on == compared.on)
    shown = [n for n in (nth, nth + 1, len(alike) - 1, nth - 1) if 0 <= n < len(alike)]
    return tuple(alike[n] for n in sorted(list(dict.fromkeys(shown))[:3]))


def claimed_panels(book: Book) -> tuple[str, ...]:
    """The panels of the claim, then others that have a finding."""
    claimed = _read(book, "callback", "panels") or []
    found = [book.read("findings", name, "panel") for name in book.of("findings")]
    return tuple(dict.fromkeys([*claimed, *found]))


def finding_row(book: Book, panel: str, days: tuple[LookDay, ...]) -> tuple[str, ...]:
    """Panel, raveled % in each look, loads, lag, w/cm, sheet break, winter zone, cause."""
    loads = _loads_of(book, panel)
    known = panel in book.of("panels")
    shares = [share_of(book, day, panel) for day in days]
    raveled = ["" if share is None else f"{100 * share:.0f}" for share in shares]
    raveled += [""] * (3 - len(raveled))
    water = [book.shown(f"load {load} w/cm").replace("at least ", "≥ ") for load in loads]
    zone = book.read("panels", panel, "in_winter_zone") if known else None
    return (
        panel,
        *raveled,
        "+".join(_part(book, panel, load, len(loads)) for load in loads) or _no_load(book, panel),
        book.shown(f"panel {panel} lag").removesuffix(" min"),
        ", ".join(dict.fromkeys(water)),
        _yes(_has_break(book, panel)),
        _yes(zone),
        cause_words(book, panel),
    )


def cause_words(book: Book, panel: str) -> str:
    """ "shown, first: cover late (by whom); likely: salt", or that nothing was found yet."""
    words = []
    for name in book.of("findings"):
        if book.read("findings", name, "panel") == panel:
            first = ", first" if book.read("findings", name, "came_first") else ""
            cause = book.read("findings", name, "cause")
            by = book.read("findings", name, "found_by")
            signed = f" ({by})" if by else ""
            confidence = book.read("findings", name, "confidence")
            words.append(f"{confidence}{first}: {cause}{signed}")
    return "; ".join(words) or "no finding"


def _loads_of(book: Book, panel: str) -> list[str]:
    return [load for load in book.of("loads") if book.has(f"panel {panel} load {load} share")]


def _no_load(book: Book, panel: str) -> str:
    """What stands in the place of the loads of a panel that has none."""
    if f"panel {panel} placing" in book.not_given:
        return "other concrete, annex I"
    if "placing record" in book.not_given:
        return NO_RECORD
    return "" if book.of("loads") else "no load on record"


def _part(book: Book, panel: str, load: str, count: int) -> str:
    share = book.value(f"panel {panel} load {load} share")
    return load if count == 1 else f"{load} ({100 * share:.0f}%)"


def _has_break(book: Book, panel: str) -> bool | None:
    if not book.of("covers") and not book.of("breaks"):
        return None
    return any(panel in (book.read("breaks", one, "panels") or ()) for one in book.of("breaks"))


def _facts(book: Book) -> Iterator[tuple[str, str]]:
    callback = "callback"
    yield (
        "callback no.",
        ", job ".join(
            filter(None, (_said(book, callback, "number"), _said(book, callback, "job")))
        ),
    )
    for label, side in (("placed by", "contractor"), ("claimed for", "owner")):
        name = _said(book, callback, side)
        address = _said(book, callback, f"{side}_address") or "no address in the record"
        yield (label, f"{name}, {address}" if name else "not known")
    panels = _told(book, "panels_text") or ", ".join(_read(book, callback, "panels") or ())
    extent = _told(book, "extent")
    concrete = _said(book, "pavement", "concrete")
    yield ("panels claimed", "; ".join(filter(None, (panels, extent, concrete))) or "none named")


def _clocks(book: Book) -> Iterator[tuple[str, str, str, str]]:
    notice = next(iter(book.of("notice")), None)
    discovered = book.of("notice")[notice].get("discovered_on") if notice else None
    arrived = book.of("notice")[notice].get("arrived_local") if notice else None
    by = book.shown("notice by") if book.has("notice by") else ""
    yield ("discovered", "", discovered.shown if discovered else "", "")
    yield ("notice arrived", by, arrived.shown if arrived else "", _rule_of_notice(book))
    yield ("counted received", "", book.shown("counted received"), _rule_of_hours(book))
    for step, label in (
        ("acknowledged", "acknowledged"),
        ("visit", "visit"),
        ("finding", "finding"),
        ("reply", "owner’s reply"),
        ("remedy", "remedy"),
    ):
        if step not in book.of("clocks"):
            yield _without_limit(book, step, label)
            continue
        row = book.of("clocks")[step]
        over = book.shown(f"{step} over")
        rule = _rule(book, step)
        yield (
            label,
            book.shown(f"{step} due") if book.has(f"{step} due") else "no day yet",
            row["done_on"].shown or "not done",
            f"{rule}; {over}" if over else rule,
        )


def _rule(book: Book, step: str) -> str:
    days, counting = book.read("clocks", step, "days"), book.read("clocks", step, "counting")
    agreed = book.read("clocks", step, "agreed_on")
    silent = book.has(f"{step} due") and SILENT_LIST in book.figures[f"{step} due"].says
    rule = "new date signed" if agreed else f"{days} {counting} d"
    return f"{rule}, holidays: annex G" if silent else rule


def _without_limit(book: Book, step: str, label: str) -> tuple[str, str, str, str]:
    """A step that the terms do not limit, with the day that both agreed on where there is one."""
    if step not in book.of("agreed_days"):
        return (label, "", "", "no limit in the terms")
    row = book.of("agreed_days")[step]
    return (label, row["due_on"].shown, row["done_on"].shown or "not done", "day agreed, no limit")


def _rule_of_notice(book: Book) -> str:
    term = next(iter(book.of("terms")), None)
    days = book.read("terms", term, "notice_days") if term else None
    return "" if days is None else f"{days} calendar d"


def _rule_of_hours(book: Book) -> str:
    term = next(iter(book.of("terms")), None)
    closes = book.read("terms", term, "notice_closes") if term else None
    return f"after {closes}: next working d" if closes else ""


def _terms(book: Book) -> Iterator[tuple[str, str]]:
    lines = []
    for kind in ("terms", "parts"):
        for name in book.of(kind):
            event = book.of(kind)[name].get("start_event")
            start = book.read(kind, name, "start_on") or "no start agreed"
            last = book.shown(f"last day of {name}")
            led = f"{event.shown} " if event and event.shown else "from "
            lines.append((name, f"{led}{start}; last day {last}"))
    yield from lines[:TERM_LINES]
    if len(lines) > TERM_LINES:
        yield ("more", f"{len(lines) - TERM_LINES} with periods of their own: annex I")
    argued = _said(book, "callback", "clauses_argued") or "none named"
    in_time = book.shown("notice in time").rstrip(".") or "not decided"
    yield ("in time", f"{in_time}; exclusions argued: {argued}")


def _core(book: Book, core: str) -> str:
    row = book.of("cores")[core]
    length, density = row["length"].shown, row["density"].shown
    chloride = row["chloride"].shown
    parts = [f"{core} {row['panel'].shown}", row["surface"].shown, length, density]
    parts += [
        f"chloride {chloride} %" if _is_read(row, "chloride") else "",
        row["cause"].shown if _is_read(row, "cause") else "no cause named",
    ]
    return ", ".join(filter(None, parts))


def _answer(book: Book) -> Iterator[tuple[str, str]]:
    name = next(reversed(book.of("answers")), None) if book.of("answers") else None
    if name is None:
        yield ("answer", "none yet")
        return
    row = book.of("answers")[name]
    told = {cell: row[cell].shown if cell in row else "" for cell in _ANSWER_CELLS}
    yield (f"{name}: accepted", told["accepted"] or "no panel named")
    yield ("declined, by clause", told["declined"] or "no panel named")
    given = {cell: words if _is_read(row, cell) else "" for cell, words in told.items()}
    remedy = given["remedy_by"] or _remedy_due(book)
    dispute = given["may_dispute_by"] or "no date in it"
    goodwill = given["goodwill"] or "none named"
    yield ("goodwill", f"{goodwill}; remedy by {remedy}; owner may dispute by {dispute}")


def _is_read(row: Mapping[str, Cell], cell: str) -> bool:
    return cell in row and row[cell].read is not None


def _remedy_due(book: Book) -> str:
    """What stands where the answer names no day: the clock of the terms, or of a date signed."""
    due = book.shown("remedy due")
    return f"no date in it, by the clock {due}" if due else "no date in it"


def _told(book: Book, cell: str) -> str:
    """Words of the callback that somebody wrote; nothing where the cell is empty."""
    return _said(book, "callback", cell) if _read(book, "callback", cell) else ""


def _yes(value: bool | None) -> str:
    return {True: "y", False: "n", None: "nk"}[value]


def _read(book: Book, kind: str, cell: str) -> list[str] | None:
    name = next(iter(book.of(kind)), None)
    return book.read(kind, name, cell) if name else None


def _said(book: Book, kind: str, cell: str) -> str:
    name = next(iter(book.of(kind)), None)
    found = book.of(kind)[name].get(cell) if name else None
    return found.shown if found else ""
