"""One pavement: how it stands, its plan and chart, what was read, and what is not known."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from registry import access
from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import Drawing
from registry.drawing.svg import to_svg
from registry.faults import DomainError
from registry.gathering.chart import ChartRows, draw_rates, not_drawn
from registry.gathering.condition import PavementCondition, condition_of
from registry.gathering.curve import curve_of
from registry.gathering.demand import demand_rows
from registry.gathering.facts import (
    Fact,
    criteria_facts,
    pavement_facts,
    run_on_facts,
    structure_facts,
    what_is_not_known,
)
from registry.gathering.gains import DaysBySpot, GainAtSpot, days_by_spot, gains_among
from registry.gathering.layouts import layout_of
from registry.gathering.made_of import Pairs, made_of_test
from registry.gathering.measured_share import measured_share
from registry.gathering.plan_marks import spot_marks, state_areas
from registry.gathering.spot_days import SpotDay
from registry.measuring.cleaning_gain import Gain
from registry.models import Cleaning, InfiltrationTest, Outlook, Pavement, Person, Spot
from registry.units import System
from registry.views.title import title_block_of

SHOWN = 60
PARTS_OF_CLEANING = ("before_tests", "after_tests", "panels")
"""Rows of tests and cleanings on the page; the timeline has them all."""

PICTURE_MM = (120.0, 110.0)


@dataclass(frozen=True)
class Reader:
    """Who reads a pavement's page, and how: viewpoint None shows no condition."""

    person: Person
    viewpoint: str | None
    system: System
    today: date


@dataclass(frozen=True)
class Records:
    """Everything read and done there that the person may see, newest first, doubles left out."""

    tests: list[InfiltrationTest]
    cleanings: list[Cleaning]


@dataclass(frozen=True)
class TestRow:
    """A row of the table of tests."""

    __test__ = False

    test: InfiltrationTest
    made_of: Pairs


@dataclass(frozen=True)
class CleaningRow:
    """A row of the table of cleanings, with the gain at each spot where one can be given."""

    cleaning: Cleaning
    gains: tuple[GainAtSpot, ...]


def local_today(pavement: Pavement) -> date:
    """Return the date at the site, by which everything about it is dated."""
    return timezone.now().astimezone(ZoneInfo(pavement.site.time_zone)).date()


def pavement_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a pavement to a person as their seat lets them see it."""
    pavement = access.get_pavement(request.user, pk)
    reader = _reader(request, pavement)
    records = _records(reader, pavement)
    outlook = access.find_outlook(request.user, pavement)
    condition = None
    if reader.viewpoint is not None:
        condition = condition_of(
            pavement, viewpoint=reader.viewpoint, today=reader.today, system=reader.system
        )
    return render(
        request,
        "pavement/page.html",
        {
            "pavement": pavement,
            "head": title_block_of(request.user, pavement, as_of=reader.today),
            "condition": condition,
            "outlook": outlook,
            "measured": measured_share(condition) if condition else None,
            **_pictures(pavement, condition, reader, records, outlook),
            **_tables(pavement, reader, records),
            **_known(pavement, condition, reader),
        },
    )


def _reader(request: HttpRequest, pavement: Pavement) -> Reader:
    person = request.user
    return Reader(
        person=person,
        viewpoint=access.viewpoint_of(person, pavement),
        system=System(person.shown_system),
        today=local_today(pavement),
    )


def _records(reader: Reader, pavement: Pavement) -> Records:
    tests = access.visible_tests(reader.person, pavement).filter(double_of__isnull=True)
    cleanings = access.visible_cleanings(reader.person, pavement).filter(double_of__isnull=True)
    return Records(
        tests=list(tests.select_related("spot")),
        cleanings=list(cleanings.prefetch_related(*PARTS_OF_CLEANING)),
    )


def _pictures(
    pavement: Pavement,
    condition: PavementCondition | None,
    reader: Reader,
    records: Records,
    outlook: Outlook | None,
) -> dict[str, object]:
    spots = list(pavement.spots.standing().select_related("panel"))
    days = condition.days if condition else ()
    return {
        "plan": _plan_svg(pavement, condition, reader, spots),
        "chart": _chart_svg(pavement, reader, records, outlook) if condition else "",
        "spots": [(spot, _newest(spot, days)) for spot in spots] if condition else [],
    }


def _newest(spot: Spot, days: Iterable[SpotDay]) -> SpotDay | None:
    mine = [day for day in days if day.spot.pk == spot.pk]
    return mine[-1] if mine else None


def _plan_svg(
    pavement: Pavement,
    condition: PavementCondition | None,
    reader: Reader,
    spots: list[Spot],
) -> SafeString:
    strata = pavement.strata.standing() if condition else ()
    try:
        drawing = plan_picture(
            layout_of(pavement, system=reader.system),
            on=reader.today,
            size_mm=PICTURE_MM,
            system=reader.system,
            spots=spot_marks(spots, condition.days if condition else (), system=reader.system),
            states=state_areas(strata, condition) if condition else (),
        )
    except DomainError as fault:
        return escape(fault.message)
    return _svg(drawing, "plan")


def _chart_svg(
    pavement: Pavement, reader: Reader, records: Records, outlook: Outlook | None
) -> SafeString:
    rows = ChartRows(
        tests=[t for t in records.tests if t.state == "done"],
        cleanings=records.cleanings,
        demand=demand_rows(pavement),
    )
    try:
        curve = curve_of(pavement, outlook, today=reader.today) if outlook else None
        drawing = draw_rates(
            rows,
            today=reader.today,
            system=reader.system,
            size_mm=PICTURE_MM,
            band=curve.band if curve else None,
            future=curve.future if curve else None,
            is_thinned=True,
        )
    except DomainError as fault:
        return escape(fault.message)
    return _svg(drawing, "rates")


def _svg(drawing: Drawing, prefix: str) -> SafeString:
    # to_svg escapes every word that people wrote; only its own markup is left.
    return mark_safe(to_svg(drawing, id_prefix=prefix))


def _tables(pavement: Pavement, reader: Reader, records: Records) -> dict[str, object]:
    rights = access.rights_at(reader.person, pavement)
    days = days_by_spot(records.tests)
    restorative = list(pavement.cleanings.restorative().prefetch_related(*PARTS_OF_CLEANING))
    return {
        "tests": [TestRow(t, made_of_test(t, reader.system)) for t in records.tests[:SHOWN]],
        "cleanings": [
            CleaningRow(c, _gains(c, days, restorative)) for c in records.cleanings[:SHOWN]
        ],
        "more_records": max(len(records.tests), len(records.cleanings)) > SHOWN,
        "shown": SHOWN,
        "not_drawn": not_drawn([t for t in records.tests if t.state == "done"]),
        "n_tests": len(records.tests),
        "n_cleanings": len(records.cleanings),
        "seats": access.visible_seats(reader.person, pavement),
        "may": {what: rights.may(what) for what in access.MAY},
    }


def _gains(
    cleaning: Cleaning, days: DaysBySpot, restorative: list[Cleaning]
) -> tuple[GainAtSpot, ...]:
    if cleaning.is_void:
        return ()
    found = gains_among(cleaning, days, restorative)
    return tuple(g for g in found if isinstance(g.result, Gain))


def _known(
    pavement: Pavement,
    condition: PavementCondition | None,
    reader: Reader,
) -> dict[str, object]:
    demand = condition.demand if condition else demand_rows(pavement).on(reader.today)
    facts = pavement_facts(pavement, reader.system)
    structures = pavement.structures.standing().on(reader.today).prefetch_related("layers")
    below: tuple[Fact, ...] = ()
    for structure in structures:
        below += structure_facts(structure, reader.system)
    seen = access.may_see_criteria(reader.person, pavement)
    criteria = criteria_facts(demand, reader.system) if seen else ()
    visible = access.visible_pavements(reader.person)
    return {
        "whole": visible.filter(pk=pavement.parent_id).first() if pavement.parent_id else None,
        "split_into": visible.filter(parent=pavement),
        "facts": [f for f in facts if f.text],
        "criteria": [f for f in criteria if f.text],
        "run_on": run_on_facts(demand.run_on if seen else (), reader.system),
        "below": [f for f in below if f.text],
        "dirt_sources": pavement.dirt_sources.open(),
        "not_known": what_is_not_known((*facts, *criteria, *below)),
    }
