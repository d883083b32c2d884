"""What a plan shows of its defects on a day: marks, list, filters, and the visits around it."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import QueryDict
from django.urls import reverse

from registry.access.defects import visible_defects, visible_observations, visible_visits
from registry.drawing.plan_marks import DefectMark
from registry.forms.plan_filters import PlanFilters
from registry.gathering.plan_defects import PlanDefect, defect_marks, defects_on_plan, known_then
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
    years = [day.year for day in seen.standing().dates("first_seen_on", "year", order="DESC")]
    filters = PlanFilters(asked, today=today, years=years)

    def known(day: date) -> DefectQuerySet:
        return known_then(seen, looks, day)

    on = filters.as_of(known, usual)
    others = _others(person, pavement, asked, on, today)
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


def _others(
    person: Person, pavement: Pavement, asked: QueryDict, on: date, today: date
) -> tuple[OtherDay, ...]:
    visits = visible_visits(person, pavement).standing().filter(done_on__lte=today)
    days = sorted(set(visits.values_list("done_on", flat=True)))
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
