"""What needs a person now: what, where, why and by when, from the seats they hold.

Each kind is one query of at most MOST + 1 rows, so that the page says "more" instead of counting.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from registry.models import (
    DirtSource,
    InfiltrationTest,
    Organisation,
    Pavement,
    PavementStanding,
    Seat,
)
from registry.models.choices import Role, Word
from registry.units import Kind, System, show

AHEAD = timedelta(days=60)
MOST = 40
KEEPERS = frozenset({Role.OWNER, Role.MANAGER})

ASKED_FOR = {
    Word.NOT_WORKING: ("Not working", "now"),
    Word.RESTORE: ("Restore", "set a dated plan"),
    Word.CLEAN: ("Clean", "this season"),
    Word.NOT_DECIDED: ("Not decided", "test first"),
}


@dataclass(frozen=True)
class Need:
    """One line: `by_on` is a date, or None where `by_words` says by when.

    `page` is the kind of page that `row_id` opens: "pavement" or "infiltration_test".
    """

    what: str
    why: str
    pavement_name: str
    site_name: str
    row_id: int
    page: str = "pavement"
    by_on: date | None = None
    by_words: str = ""
    days: int | None = None
    word: str = ""


@dataclass(frozen=True)
class Needs:
    """Needs by when: overdue, today, in the next 60 days, and those without a date.

    `more` names the kinds of which only the first were fetched.
    """

    overdue: tuple[Need, ...]
    today: tuple[Need, ...]
    ahead: tuple[Need, ...]
    undated: tuple[Need, ...]
    more: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Say whether nothing needs the person."""
        return not (self.overdue or self.today or self.ahead or self.undated)


@dataclass(frozen=True)
class Held:
    """What a person holds now: the rows that access lets through, not yet fetched."""

    roles: frozenset[str]
    organisations: QuerySet[Organisation]
    kept: QuerySet[Pavement]
    own_seats: QuerySet[Seat]
    standings: QuerySet[PavementStanding]
    reviewed: QuerySet[Pavement]


def gather_needs(held: Held, *, at: datetime, system: System) -> Needs:
    """Return what needs a person at an instant, each line dated by the clock of its site."""
    kinds = [
        ("infiltration tests that are due", lambda: _due(held, at)),
        ("conditions that ask something", lambda: _asking(held, at, system)),
        ("warranties that end", lambda: _warranties(held, at)),
        ("doubts about infiltration tests", lambda: _doubts(held)),
        ("sources of dirt", lambda: _dirt(held)),
        ("infiltration tests that are planned", lambda: _planned(held, at)),
        ("infiltration tests sent in", lambda: _sent_in(held, at)),
    ]
    lines: list[Need] = []
    more = []
    for name, gather in kinds:
        found = list(gather())
        lines += found[:MOST]
        if len(found) > MOST:
            more.append(name)
    return _by_when(lines, tuple(more))


def _by_when(lines: Iterable[Need], more: tuple[str, ...]) -> Needs:
    dated = sorted(
        (n for n in lines if n.days is not None), key=lambda n: (n.by_on, n.pavement_name)
    )
    return Needs(
        overdue=tuple(n for n in dated if n.days is not None and n.days < 0),
        today=tuple(n for n in dated if n.days == 0),
        ahead=tuple(n for n in dated if n.days is not None and n.days > 0),
        undated=tuple(n for n in lines if n.days is None),
        more=more,
    )


def _due(held: Held, at: datetime) -> Iterator[Need]:
    if not held.roles & (KEEPERS | {Role.MUNICIPALITY}):
        return
    rows = held.standings.due_by((at + AHEAD).date()).with_pavement()
    for row in rows[: MOST + 1]:
        last = row.last_tested_on
        tested = f"Last tested {last:%Y-%m-%d}." if last else "Never tested."
        why = f"{row.next_test_why}. {tested}" if row.next_test_why else tested
        yield _line("Infiltration test", why, row.pavement, on=row.next_test_due_on, at=at)


def _asking(held: Held, at: datetime, system: System) -> Iterator[Need]:
    if not held.roles & (KEEPERS | {Role.MUNICIPALITY}):
        return
    for row in held.standings.asking().with_pavement()[: MOST + 1]:
        what, by_words = ASKED_FOR[Word(row.word)]
        why = " ".join(part for part in (_lowest(row, system), row.reason, row.next_step) if part)
        yield _line(what, why, row.pavement, by_words=by_words, word=row.word)


def _lowest(row: PavementStanding, system: System) -> str:
    if row.lowest_mm_h is None:
        return ""
    low = show(row.lowest_mm_h, Kind.RATE, system, sign=row.lowest_sign)
    said = f"Lowest {low} at {row.lowest_spot}, {row.lowest_on:%Y-%m-%d}"
    if row.action_rate_mm_h is None:
        return f"{said}."
    return f"{said}; action level {show(row.action_rate_mm_h, Kind.RATE, system, digits=1)}."


def _warranties(held: Held, at: datetime) -> Iterator[Need]:
    """Yield warranties that end: of pavements one keeps, and a contractor's own."""
    day = at.date()
    own = Q(organisation__in=held.organisations, role=Role.CONTRACTOR)
    mine = own | Q(pavement__in=held.kept) if held.roles & KEEPERS else own
    rows = Seat.objects.held_at(at).filter(
        mine, warranty_last_on__gte=day - timedelta(days=1), warranty_last_on__lte=day + AHEAD
    )
    for row in rows.select_related("organisation", "section", "pavement__site")[: MOST + 1]:
        part = f", section {row.section}" if row.section else ""
        why = f"Last day of the warranty of {row.organisation}{part}. Test before it ends."
        yield _line("Warranty ends", why, row.pavement, on=row.warranty_last_on, at=at)


def _doubts(held: Held) -> Iterator[Need]:
    """Yield tests with doubts nobody has answered: a keeper's all, a tester's own."""
    own = Q(entered_for__in=held.organisations, pavement__in=held.own_seats.values("pavement"))
    mine = own | Q(pavement__in=held.kept) if held.roles & KEEPERS else own
    rows = InfiltrationTest.objects.standing().with_open_doubts().filter(mine)
    for row in rows.select_related("pavement__site", "spot")[: MOST + 1]:
        asked = [d for d in row.doubts if d["code"] not in row.answers]
        why = " ".join(f"{d['message']} {d['mend']}" for d in asked[:2])
        what = f"Answer a doubt about the test at {row.spot}, {row.started_on:%Y-%m-%d}"
        yield _line(what, why, row.pavement, page="infiltration_test", row_id=row.pk)


def _dirt(held: Held) -> Iterator[Need]:
    if not held.roles & KEEPERS:
        return
    rows = DirtSource.objects.open().filter(pavement__in=held.kept)
    for row in rows.select_related("pavement__site")[: MOST + 1]:
        seen = f" seen {row.seen_on:%Y-%m-%d}" if row.seen_on else ""
        asked = f", asked to stop {row.asked_on:%Y-%m-%d}" if row.asked_on else ", not asked yet"
        who = f" Who can stop it: {row.who_can_stop_it}." if row.who_can_stop_it else ""
        yield _line(
            "Stop a source of dirt", f"{row.get_kind_display()}{seen}{asked}.{who}", row.pavement
        )


def _planned(held: Held, at: datetime) -> Iterator[Need]:
    if not held.roles & {Role.TESTER, Role.MANAGER, Role.OWNER}:
        return
    rows = InfiltrationTest.objects.standing().filter(
        state="planned", entered_for__in=held.organisations, started_on__lte=(at + AHEAD).date()
    )
    for row in rows.select_related("pavement__site", "spot").order_by("started_on")[: MOST + 1]:
        why = f"Planned, {row.get_reason_display() or 'no reason written'}."
        yield _line(f"Test at {row.spot}", why, row.pavement, on=row.started_on, at=at)


def _sent_in(held: Held, at: datetime) -> Iterator[Need]:
    """Yield tests that a municipality was sent in the last 60 days."""
    if Role.MUNICIPALITY not in held.roles:
        return
    rows = InfiltrationTest.objects.standing().filter(
        pavement__in=held.reviewed, submitted_on__gte=at.date() - AHEAD
    )
    for row in rows.select_related("pavement__site", "spot").order_by("-submitted_on")[: MOST + 1]:
        why = f"Test at {row.spot}, {row.started_on:%Y-%m-%d}, sent {row.submitted_on:%Y-%m-%d}."
        yield _line("Read what was sent in", why, row.pavement)


def _line(
    what: str,
    why: str,
    pavement: Pavement,
    *,
    on: date | None = None,
    at: datetime | None = None,
    page: str = "pavement",
    row_id: int | None = None,
    by_words: str = "",
    word: str = "",
) -> Need:
    days = None
    if on is not None and at is not None:
        days = (on - at.astimezone(ZoneInfo(pavement.site.time_zone)).date()).days
    return Need(
        what=what,
        why=why,
        pavement_name=pavement.name,
        site_name=pavement.site.name,
        row_id=pavement.pk if row_id is None else row_id,
        page=page,
        by_on=on,
        by_words=by_words,
        days=days,
        word=word,
    )
