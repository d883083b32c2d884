"""Warranties that end: by a seat, by terms, by a part with a cover of its own; by one question.

The last day is worked out, never stored: the question finds those whose months fit, the rule of
`placing.warranty` tells the day. Both sides are told: who keeps the pavement, and the contractor.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import CharField, DateField, Exists, F, OuterRef, Q, QuerySet, Value
from django.db.models.functions import Coalesce, ExtractYear

from registry.gathering.need import Need, days_to
from registry.gathering.needed_rows import AHEAD, Held
from registry.models import Seat, Warranty, WarrantyPart
from registry.models.choices import Role
from registry.models.rights import KEEPERS
from registry.placing.claim_moves import RUNNING
from registry.placing.faults import NotGiven
from registry.placing.warranty import REMIND_DAYS, Part, remind_on

SEAT, WHOLE, PART = 1, 2, 3
MOST_AHEAD = timedelta(days=365)
A_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Ending:
    """A row as the one question gives it.

    row_id       the warranty's; of a seat its own
    about        number of a warranty; section of a seat
    name         of a part, with its panels in `panels`
    start_on     of a seat its last day
    """

    kind: int
    row_id: int
    pavement_id: int
    pavement_name: str
    site_name: str
    time_zone: str
    contractor: str
    about: str
    name: str
    panels: str
    start_on: date | None
    years: int
    ended_on: date | None
    remind_days: int

    @property
    def last_on(self) -> date | None:
        """Return the last day, where one is given."""
        if self.kind == SEAT:
            return self.start_on
        last = Part(self.name, None, self.start_on, self.years, self.ended_on).last_day
        return None if isinstance(last, NotGiven) else last

    @property
    def words(self) -> str:
        """Return whose warranty it is and of what."""
        if self.kind == SEAT:
            return f"of {self.contractor}{f', section {self.about}' if self.about else ''}"
        named = f"{self.about} of {self.contractor}" if self.about else f"of {self.contractor}"
        if self.kind == WHOLE:
            return named
        return f"{named}, {self.name}{f' ({self.panels})' if self.panels else ''}"


def warranty_needs(held: Held, at: datetime) -> Iterator[Need]:
    """Yield warranties that end: of pavements one keeps, and a contractor's own, soonest first."""
    told: set[tuple[int, str, date]] = set()
    dated = ((row, row.last_on) for row in _rows(held, at))
    endings = [(last, row) for row, last in dated if last is not None and _is_soon(row, last, at)]
    for last, row in sorted(endings, key=lambda one: (one[0], -one[1].kind, one[1].row_id)):
        same = (row.pavement_id, row.contractor, last)
        if row.kind == SEAT and same in told:  # its terms said so already, with more
            continue
        told.add(same)
        yield Need(
            what="Warranty ends",
            why=f"Last day of the warranty {row.words}. Look and test before it ends.",
            pavement_name=row.pavement_name,
            site_name=row.site_name,
            row_id=row.pavement_id,
            by_on=last,
            days=days_to(last, at, row.time_zone),
            page="" if row.kind == SEAT else "warranty_page",
            page_id=row.row_id,
        )


def _is_soon(row: Ending, last: date, at: datetime) -> bool:
    """Say whether a last day is not over by the clock of its site, and its reminder has come."""
    today = at.astimezone(ZoneInfo(row.time_zone)).date()
    remind = remind_on(last, row.remind_days)
    return last >= today and isinstance(remind, date) and remind <= today


def _rows(held: Held, at: datetime) -> list[Ending]:
    parts = [_of_seats(held, at), _of_terms(held, at), _of_parts(held, at)]
    return [Ending(*row) for row in parts[0].union(*parts[1:], all=True)]


def _listed(rows: QuerySet[Any], kind: int, above: str, **named: Any) -> QuerySet[Any]:
    """Return the columns of Ending; `above` leads to what has pavement and contractor."""
    given = {
        name: Value(value, CharField()) if isinstance(value, str) else value
        for name, value in named.items()
    }
    where = ("id", "name", "site__name", "site__time_zone")
    return (
        rows.order_by()
        .annotate(a_kind=Value(kind), **{f"a_{name}": what for name, what in given.items()})
        .values_list(
            "a_kind",
            "a_row",
            *(f"{above}pavement__{name}" for name in where),
            *(f"a_{name}" for name in ("by", "about", "name", "panels", "start", "years")),
            *(f"a_{name}" for name in ("ended", "remind")),
        )
    )


def _of_seats(held: Held, at: datetime) -> QuerySet[Any]:
    """Last days that stand with a seat alone."""
    own = Q(organisation__in=held.organisations, role=Role.CONTRACTOR)
    within = (at.date() - A_DAY, at.date() + AHEAD)
    rows = Seat.objects.held_at(at).filter(
        own | _kept(held, "pavement"), warranty_last_on__range=within
    )
    return _listed(
        rows,
        SEAT,
        "",
        row=F("pk"),
        by=F("organisation__name"),
        about=Coalesce("section__name", Value("", CharField())),
        name="",
        panels="",
        start=F("warranty_last_on"),
        years=Value(0),
        ended=Value(None, DateField()),
        remind=Value(REMIND_DAYS),
    )


def _of_terms(held: Held, at: datetime) -> QuerySet[Any]:
    rows = Warranty.objects.running().filter(_mine(held, ""))
    return _listed(
        _ending(rows, at, F("remind_days")),
        WHOLE,
        "",
        row=F("pk"),
        by=F("contractor__name"),
        about=F("number"),
        name="",
        panels="",
        start=F("start_on"),
        years=F("years"),
        ended=F("ended_early_on"),
        remind=F("remind_days"),
    )


def _of_parts(held: Held, at: datetime) -> QuerySet[Any]:
    running = Q(
        warranty__state__in=RUNNING,
        warranty__void_at__isnull=True,
        warranty__double_of__isnull=True,
    )
    rows = WarrantyPart.objects.standing().filter(running, _mine(held, "warranty__"))
    return _listed(
        _ending(rows, at, F("warranty__remind_days")),
        PART,
        "warranty__",
        row=F("warranty_id"),
        by=F("warranty__contractor__name"),
        about=F("warranty__number"),
        name=F("name"),
        panels=F("panels_text"),
        start=F("start_on"),
        years=F("years"),
        ended=F("ended_early_on"),
        remind=F("warranty__remind_days"),
    )


def _ending(rows: QuerySet[Any], at: datetime, remind: F) -> QuerySet[Any]:
    """Those that may end in the days ahead: the year and month of start and period say so."""
    rows = rows.annotate(ends_in=ExtractYear("start_on") + F("years"), reminded=remind)
    soon = Q(reminded__lte=AHEAD.days) & _within(at, AHEAD)
    return rows.filter(soon | Q(reminded__gt=AHEAD.days) & _within(at, MOST_AHEAD))


def _within(at: datetime, ahead: timedelta) -> Q:
    first, last = at.date() - 2 * A_DAY, at.date() + ahead + 2 * A_DAY
    days = [first + n * A_DAY for n in range((last - first).days + 1)]
    found = Q(ended_early_on__range=(first, last))
    for year, month in sorted({(day.year, day.month) for day in days}):
        found |= Q(ends_in=year, start_on__month=month)
    return found


def _mine(held: Held, above: str) -> Q:
    """The condition that a warranty is of a pavement one keeps, or given by one's own side."""
    seats = held.own_seats.filter(role=Role.CONTRACTOR, pavement=OuterRef(f"{above}pavement"))
    given = Exists(seats.filter(organisation=OuterRef(f"{above}contractor")))
    return Q(given) | _kept(held, f"{above}pavement")


def _kept(held: Held, pavement: str) -> Q:
    """The condition that one keeps a pavement; asked of those that end soon alone."""
    if not held.roles & KEEPERS:
        return Q(pk__in=())
    return Q(Exists(held.kept.filter(pk=OuterRef(pavement))))
