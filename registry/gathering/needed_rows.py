"""The rows behind what needs a person now: kinds that share a table come by one query."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import TypeVar

from django.db.models import Exists, Model, OuterRef, Q, QuerySet

from registry.models import (
    Due,
    InfiltrationTest,
    Organisation,
    Pavement,
    PavementStanding,
    Seat,
    Visit,
    VisitState,
)
from registry.models.choices import Role, Word
from registry.models.defect import DefectQuerySet
from registry.models.due import DueQuerySet
from registry.models.pavement import ASKING, PavementStandingQuerySet
from registry.models.rights import KEEPERS

AHEAD = timedelta(days=60)
MOST = 20

Row = TypeVar("Row", bound=Model)


@dataclass(frozen=True)
class Held:
    """What a person holds now: the rows that access lets through, not yet fetched."""

    roles: frozenset[str]
    organisations: QuerySet[Organisation]
    kept: QuerySet[Pavement]
    own_seats: QuerySet[Seat]
    standings: PavementStandingQuerySet
    reviewed: QuerySet[Pavement]
    dues: DueQuerySet
    urgent: DefectQuerySet


def visits_of(held: Held, at: datetime) -> tuple[list[Visit], list[Visit]]:
    """Return visits of one's own side that nobody closed, and those that set an inspection to come.

    The next inspection of a pavement one keeps is as its last visit set it.
    """
    begun = Visit.objects.under_way().filter(
        entered_for__in=held.organisations, pavement__in=held.own_seats.values("pavement")
    )
    setting = _that_set_an_inspection(held, at) if held.roles & KEEPERS else Visit.objects.none()
    rows = list(_first_of(begun.order_by("done_on", "pk"), setting))
    mine = [row for row in rows if row.state == VisitState.PLANNED]
    last = [row for row in rows if row.state != VisitState.PLANNED]
    return (
        sorted(mine, key=lambda row: (row.done_on, row.pk)),
        sorted(last, key=lambda row: (row.next_due_on, -row.pk)),
    )


def _that_set_an_inspection(held: Held, at: datetime) -> QuerySet[Visit]:
    later = Visit.objects.closed().filter(
        pavement=OuterRef("pavement"), done_on__gt=OuterRef("done_on")
    )
    over = Visit.objects.standing().exclude(state=VisitState.PLANNED)
    rows = over.filter(pavement__in=held.kept, next_due_on__lte=(at + AHEAD).date())
    return rows.filter(~Exists(later)).order_by("next_due_on", "-pk")


def standings_of(held: Held, at: datetime) -> tuple[list[PavementStanding], list[PavementStanding]]:
    """Return conditions whose infiltration test is due, and those whose word asks something."""
    if not held.roles & (KEEPERS | {Role.MUNICIPALITY}):
        return [], []
    day = (at + AHEAD).date()
    rows = list(
        _first_of(held.standings.due_by(day), held.standings.asking()).select_related(
            "pavement__site"
        )
    )
    due = [row for row in rows if row.next_test_due_on and row.next_test_due_on <= day]
    asking = [row for row in rows if row.word in ASKING]
    due.sort(key=lambda row: (row.next_test_due_on, row.pk))
    asking.sort(key=_worst_first)
    return due[: MOST + 1], asking[: MOST + 1]


def _worst_first(row: PavementStanding) -> tuple[int, float, int]:
    """Give the place of a row in the order of `asking`."""
    lowest = inf if row.lowest_mm_h is None else row.lowest_mm_h
    return ASKING.index(Word(row.word)), lowest, row.pk


def dues_of(held: Held, at: datetime) -> tuple[list[Due], list[Due]]:
    """Return what is to be swept by a day to come, and where sweeping is no longer enough."""
    if not held.roles & KEEPERS:
        return [], []
    day = (at + AHEAD).date()
    rows = list(_first_of(held.dues.due_by(day), held.dues.no_longer_enough()))
    due = [row for row in rows if row.latest_on and row.latest_on <= day]
    beyond = [row for row in rows if row.no_longer_enough]
    due.sort(key=lambda row: (row.latest_on, row.pk))
    beyond.sort(key=lambda row: (row.pavement.name, row.pk))
    return due[: MOST + 1], beyond[: MOST + 1]


def tests_of(held: Held, at: datetime) -> tuple[list[InfiltrationTest], list[InfiltrationTest]]:
    """Return tests planned by one's own side, and those sent to a municipality in 60 days."""
    rows = InfiltrationTest.objects.standing()
    planned = sent_in = InfiltrationTest.objects.none()
    if held.roles & (KEEPERS | {Role.TESTER}):
        planned = rows.filter(
            state="planned",
            entered_for__in=held.organisations,
            started_on__lte=(at + AHEAD).date(),
        ).order_by("started_on", "pk")
    if Role.MUNICIPALITY in held.roles:
        sent_in = (
            rows.filter(pavement__in=held.reviewed, submitted_on__gte=at.date() - AHEAD)
            .exclude(state="planned")
            .order_by("-submitted_on", "-pk")
        )
    found = list(_first_of(planned, sent_in).select_related("spot"))
    to_come = [row for row in found if row.state == "planned"]
    sent = [row for row in found if row.state != "planned"]
    return (
        sorted(to_come, key=lambda row: (row.started_on, row.pk)),
        sorted(sent, key=lambda row: (row.submitted_on, row.pk), reverse=True),
    )


def _first_of(first: QuerySet[Row], second: QuerySet[Row]) -> QuerySet[Row]:
    """Return the first MOST + 1 rows of two ordered querysets of one table, with their sites."""
    one, other = (Q(pk__in=rows.values("pk")[: MOST + 1]) for rows in (first, second))
    return first.model._default_manager.filter(one | other).select_related("pavement__site")
