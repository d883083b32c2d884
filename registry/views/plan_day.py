"""What a plan shows of its defects on a day: marks, list, filters, and the visits around it."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import F, Value
from django.db.models.functions import TruncYear
from django.http import QueryDict
from django.urls import reverse

from registry.access.defects import (
    visible_defects,
    visible_observations,
    visible_photos,
    visible_visits,
)
from registry.drawing.plan_marks import DefectMark, PhotoMark
from registry.forms.plan_filters import PlanFilters
from registry.gathering.plan_defects import PlanDefect, defect_marks, defects_on_plan, known_then
from registry.gathering.plan_photos import PlacedPhotos, photo_marks, photos_on_plan
from registry.models import Defect, Pavement, Person
from registry.models.defect import DefectQuerySet
from registry.plan.layout import Layout
from registry.units import System


@dataclass(frozen=True)
class OtherDay:
    """A link to the plan as of the day of a visit, or of today; the filters stay."""

    words: str
    query: str


@dataclass(frozen=True)
class PlanDay:
    """The day asked for and the filters; `shown` draws what they leave."""

    filters: PlanFilters
    on: date
    today: date
    others: tuple[OtherDay, ...]
    page: str = ""
    query: str = ""

    @property
    def is_past(self) -> bool:
        """Say whether another day than today is shown."""
        return self.on != self.today

    def shown(self, pavement: Pavement, layout: Layout | None, system: System) -> list[PlanDefect]:
        """Return the defects that the filters leave, with their places on the layout."""
        own = System(pavement.sheet_system)
        return defects_on_plan(self.filters.qs, layout, own=own, system=system, day=self.on)


def plan_day(
    person: Person, pavement: Pavement, asked: QueryDict, *, today: date, usual: date
) -> PlanDay:
    """Read the day and the filters asked for. usual: the day shown where none can be read."""
    seen = visible_defects(person, pavement)
    looks = visible_observations(person, pavement)
    years, visited = _days_there_are(person, pavement, seen, today)
    filters = PlanFilters(asked, today=today, years=years)

    def known(day: date) -> DefectQuerySet:
        return known_then(seen, looks, day)

    on = filters.as_of(known, usual)
    others = _others(visited, asked, on, today)
    pages = asked.copy()
    pages.pop("page", None)
    query = f"{pages.urlencode()}&" if pages else ""
    return PlanDay(filters, on, today, others, asked.get("page", ""), query)


def marks_of(rows: list[PlanDefect]) -> tuple[DefectMark, ...]:
    """Return the rows as marks, each a link to its defect's page."""
    start, end = reverse("defect_page", args=[0]).split("0")  # looked up once, not a thousand times

    def page_of(row: Defect) -> str:
        return f"{start}{row.pk}{end}"

    return defect_marks(rows, page_of)


def photos_of(
    person: Person, pavement: Pavement, layout: Layout | None, day: PlanDay
) -> tuple[PhotoMark, ...]:
    """Return the photos with a place as marks: a link to the one, or to those of its panel."""
    rows = day.filters.photos_of(visible_photos(person, pavement))
    placed = photos_on_plan(
        rows, layout, own=System(pavement.sheet_system), day=day.on, is_today=not day.is_past
    )
    every = reverse("photo_list", args=[pavement.pk])

    def page_of(one: PlacedPhotos) -> str:
        if len(one.photos) == 1:
            return reverse("photo_page", args=[one.photos[0].pk])
        return f"{every}?panel={one.panel.pk}" if one.panel else every

    return photo_marks(placed, page_of)


def _days_there_are(
    person: Person, pavement: Pavement, seen: DefectQuerySet, today: date
) -> tuple[list[int], list[date]]:
    """Return the years of defects, newest first, and the days of visits, by one query."""
    visits = visible_visits(person, pavement).standing().filter(done_on__lte=today)
    years = seen.standing().order_by().annotate(part=Value(1), on=TruncYear("first_seen_on"))
    days = visits.order_by().annotate(part=Value(2), on=F("done_on"))
    rows = list(years.values_list("part", "on").union(days.values_list("part", "on")))
    found = sorted({day.year for part, day in rows if part == 1 and day}, reverse=True)
    return found, sorted({day for part, day in rows if part == 2})


def _others(days: list[date], asked: QueryDict, on: date, today: date) -> tuple[OtherDay, ...]:
    before = [day for day in days if day < on]
    after = [day for day in days if day > on]
    found = []
    if before:
        found.append(OtherDay(f"the visit before, {before[-1]}", _query(asked, before[-1])))
    if after:
        found.append(OtherDay(f"the visit after, {after[0]}", _query(asked, after[0])))
    if on != today:
        found.append(OtherDay("today", _query(asked, None)))
    return tuple(found)


def _query(asked: QueryDict, day: date | None) -> str:
    """The address's question with another day; an old plan's number is let go with it."""
    kept: Any = asked.copy()
    for name in ("on", "number", "page"):
        kept.pop(name, None)
    if day is not None:
        kept["on"] = day.isoformat()
    return "?" + kept.urlencode()
