"""What needs a person now: what, where, why and by when, from the seats they hold.

Each kind is at most MOST + 1 rows, so that the page says "more" instead of counting.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Count, Max, Q

from registry.gathering.due_list import rules_of
from registry.gathering.need import Need, line_of
from registry.gathering.needed_rows import (
    AHEAD,
    MOST,
    Held,
    dues_of,
    standings_of,
    tests_of,
    visits_of,
)
from registry.gathering.needed_steps import claim_needs, dirt_needs, order_needs, steps_of
from registry.gathering.needed_warranties import warranty_needs
from registry.models import (
    Due,
    InfiltrationTest,
    PavementStanding,
    Visit,
)
from registry.models.choices import Word
from registry.models.rights import KEEPERS
from registry.units import Kind, System, show

ASKED_FOR = {
    Word.NOT_WORKING: ("Not working", "now"),
    Word.RESTORE: ("Restore", "set a dated plan"),
    Word.CLEAN: ("Clean", "this season"),
    Word.NOT_DECIDED: ("Not decided", "test first"),
}


@dataclass(frozen=True)
class Needs:
    """Needs by when: overdue, today, in the next 60 days; then those without a date, by kind.

    `more` names the kinds of which only the first were fetched.
    """

    overdue: tuple[Need, ...]
    today: tuple[Need, ...]
    ahead: tuple[Need, ...]
    visits: tuple[Need, ...]
    claims: tuple[Need, ...]
    orders: tuple[Need, ...]
    conditions: tuple[Need, ...]
    doubts: tuple[Need, ...]
    dirt: tuple[Need, ...]
    sent_in: tuple[Need, ...]
    more: tuple[str, ...]

    @property
    def ahead_words(self) -> str:
        """Return how far ahead lines are shown: 60 days, or more where terms remind earlier."""
        return f"{max([AHEAD.days, *(need.days or 0 for need in self.ahead)])} days"

    @property
    def is_empty(self) -> bool:
        """Say whether nothing needs the person."""
        return not any(
            (
                self.overdue,
                self.today,
                self.ahead,
                self.visits,
                self.claims,
                self.orders,
                self.conditions,
                self.doubts,
                self.dirt,
                self.sent_in,
            )
        )


def gather_needs(held: Held, *, at: datetime, system: System) -> Needs:
    """Return what needs a person at an instant, each line dated by the clock of its site."""
    begun, last = visits_of(held, at)
    due, asking = standings_of(held, at)
    planned, sent_in = tests_of(held, at)
    to_sweep, beyond = dues_of(held, at)
    claims, dirt, orders = steps_of(held, at)
    kinds = [
        ("lips to make safe", list(_lips(held, at))),
        ("steps of callbacks", list(claim_needs(claims, at))),
        ("orders", list(order_needs(orders, at))),
        ("visits under way", list(_under_way(begun))),
        ("inspections that are due", list(_inspections(last, at))),
        ("infiltration tests that are due", list(_due(due, at))),
        ("days to sweep by", list(_sweeps(to_sweep, at))),
        ("pavements at which sweeping is no longer enough", list(_beyond(beyond, system))),
        ("conditions that ask something", list(_asking(asking, system))),
        ("warranties that end", list(warranty_needs(held, at))),
        ("doubts about infiltration tests", list(_doubts(held))),
        ("sources of dirt", list(dirt_needs(dirt))),
        ("infiltration tests that are planned", list(_planned(planned, at))),
        ("infiltration tests sent in", list(_sent_in(sent_in))),
    ]
    lines: list[Need] = []
    more = []
    for name, found in kinds:
        lines += found[:MOST]
        if len(found) > MOST:
            more.append(name)
    return _by_when(lines, tuple(more))


def _by_when(lines: Iterable[Need], more: tuple[str, ...]) -> Needs:
    dated = sorted(
        (n for n in lines if n.days is not None), key=lambda n: (n.by_on, n.pavement_name)
    )
    undated = [n for n in lines if n.days is None]
    return Needs(
        overdue=tuple(n for n in dated if n.days is not None and n.days < 0),
        today=tuple(n for n in dated if n.days == 0),
        ahead=tuple(n for n in dated if n.days is not None and n.days > 0),
        visits=tuple(n for n in lines if n.kind == "visit"),
        claims=tuple(n for n in undated if n.kind == "claim"),
        orders=tuple(n for n in undated if n.kind == "order"),
        conditions=tuple(n for n in lines if n.kind == "condition"),
        doubts=tuple(n for n in lines if n.kind == "doubts"),
        dirt=tuple(n for n in lines if n.kind == "dirt"),
        sent_in=tuple(n for n in lines if n.kind == "sent_in"),
        more=more,
    )


def _lips(held: Held, at: datetime) -> Iterator[Need]:
    """Yield lips over 1/4 in on accessible routes that nobody made safe: today's, always."""
    if not held.roles & KEEPERS:
        return
    for row in held.urgent.select_related("pavement__site").order_by("pk")[: MOST + 1]:
        where = f" at {row.place}" if row.place else ""
        why = (
            f"Defect {row.number}{where}: a lip over 1/4 in (6 mm) on an accessible route. Mark it "
            "off or ramp it; local codes and licensed practice decide how."
        )
        today = at.astimezone(ZoneInfo(row.pavement.site.time_zone)).date()
        yield line_of("Make safe today", why, row.pavement, on=today, at=at)


def _under_way(rows: Iterable[Visit]) -> Iterator[Need]:
    for row in rows:
        why = f"Begun by {row.walked_by}. Answer what is known, then sign and close it."
        since = f"under way since {row.done_on:%Y-%m-%d}"
        yield line_of("Go on with the visit", why, row.pavement, kind="visit", by_words=since)


def _inspections(rows: Iterable[Visit], at: datetime) -> Iterator[Need]:
    for row in rows:
        why = f"The visit of {row.done_on:%Y-%m-%d} set this day."
        yield line_of("Inspection", why, row.pavement, on=row.next_due_on, at=at)


def _due(rows: Iterable[PavementStanding], at: datetime) -> Iterator[Need]:
    for row in rows:
        last = row.last_tested_on
        why = row.next_test_why[:1].upper() + row.next_test_why[1:] or "Due"
        why = f"{why}; last tested {last:%Y-%m-%d}." if last else f"{why}."
        yield line_of("Infiltration test", why, row.pavement, on=row.next_test_due_on, at=at)


def _sweeps(rows: Iterable[Due], at: datetime) -> Iterator[Need]:
    """Yield what must be swept by a day, as last worked out: by fit, permit or last sand."""
    for row in rows:
        what = f"Sweep: {row.get_method_display()}" if row.method else "Sweep"
        where = f" Rows {row.rows_text}." if row.rows_text else ""
        why = f"{row.reason[:1].upper()}{row.reason[1:].rstrip('.')}.{where}"
        if row.conflict:
            why += f" {row.conflict}"
        why += f" Worked out as of {row.as_of_on:%Y-%m-%d}."
        yield line_of(what, why, row.pavement, on=row.latest_on, at=at)


def _beyond(rows: Iterable[Due], system: System) -> Iterator[Need]:
    """Yield where sweeping is no longer enough, with the rules that say so and their figures."""
    for row in rows:
        said = [
            f"{r.rule[:1].upper()}{r.rule[1:]}: {r.words}" for r in rules_of(row, system) if r.holds
        ]
        why = f"{' '.join(said)} Stop the source first, then plan the repair."
        what = "Sweeping is no longer enough"
        yield line_of(what, why, row.pavement, kind="condition", by_words="set a dated plan")


def _asking(rows: Iterable[PavementStanding], system: System) -> Iterator[Need]:
    for row in rows:
        what, by_words = ASKED_FOR[Word(row.word)]
        why = " ".join(part for part in (_lowest(row, system), row.reason, row.next_step) if part)
        yield line_of(what, why, row.pavement, kind="condition", by_words=by_words, word=row.word)


def _lowest(row: PavementStanding, system: System) -> str:
    if row.lowest_mm_h is None:
        return ""
    low = show(row.lowest_mm_h, Kind.RATE, system, sign=row.lowest_sign)
    said = f"Lowest {low} at {row.lowest_spot}, {row.lowest_on:%Y-%m-%d}"
    if row.action_rate_mm_h is None:
        return f"{said}."
    return f"{said}; action level {show(row.action_rate_mm_h, Kind.RATE, system, digits=1)}."


def _doubts(held: Held) -> Iterator[Need]:
    """Yield pavements whose tests have doubts nobody answered: a keeper's all, a tester's own."""
    own = Q(entered_for__in=held.organisations, pavement__in=held.own_seats.values("pavement"))
    mine = own | Q(pavement__in=held.kept) if held.roles & KEEPERS else own
    rows = InfiltrationTest.objects.standing().with_open_doubts().filter(mine)
    counted = rows.values("pavement", "pavement__name", "pavement__site__name").annotate(
        count=Count("pk"), newest=Max("started_on")
    )
    for row in counted.order_by("-newest", "pavement")[: MOST + 1]:
        one = row["count"] == 1
        yield Need(
            what="Answer doubts",
            why=f"{row['count']} infiltration test{'' if one else 's'} "
            f"wait{'s' if one else ''} for an answer; the newest is of {row['newest']:%Y-%m-%d}.",
            pavement_name=row["pavement__name"],
            site_name=row["pavement__site__name"],
            row_id=row["pavement"],
            kind="doubts",
            by_words="no date",
        )


def _planned(rows: Iterable[InfiltrationTest], at: datetime) -> Iterator[Need]:
    for row in rows:
        why = f"Planned, {row.get_reason_display() or 'no reason written'}."
        yield line_of(f"Test at {row.spot}", why, row.pavement, on=row.started_on, at=at)


def _sent_in(rows: Iterable[InfiltrationTest]) -> Iterator[Need]:
    for row in rows:
        why = f"Test at {row.spot}, {row.started_on:%Y-%m-%d}, sent {row.submitted_on:%Y-%m-%d}."
        yield line_of(
            "Read what was sent in", why, row.pavement, kind="sent_in", by_words="no date"
        )
