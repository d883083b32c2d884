"""One pavement: how it stands, its plan and chart, what was read, and what is not known."""

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from django.db.models import Q
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
from registry.forms.sheet import sheet_number_in
from registry.gathering.chart import ChartRows, draw_rates
from registry.gathering.condition import PavementCondition, decide_condition
from registry.gathering.curve import curve_of
from registry.gathering.facts import (
    Fact,
    criteria_facts,
    pavement_facts,
    run_on_facts,
    structure_facts,
    what_is_not_known,
)
from registry.gathering.gains import DaysBySpot, GainAtSpot, gains_among, in_spots
from registry.gathering.layouts import current_plan, layout_of
from registry.gathering.made_of import Pairs, made_of_test
from registry.gathering.measured_share import measured_share
from registry.gathering.pavement_rows import (
    FetchedTables,
    PavementRows,
    RecordRows,
    pavement_rows,
    record_rows,
)
from registry.gathering.plan_marks import spot_marks, state_areas
from registry.measuring.cleaning_gain import Gain
from registry.models import Cleaning, InfiltrationTest, Outlook, Pavement, Person, Spot
from registry.units import System
from registry.views.due import due_at
from registry.views.title import title_block_of

SHOWN = 60
"""Rows of tests and cleanings on the page; the timeline has them all."""

PICTURE_MM = (120.0, 110.0)
PLAN_MM = (90.0, 130.0)  # as narrow as a telephone is held, so that its letters stay large
SPOTS_LISTED = 100
"""Of more, the tested ones first; all stand on the page of the spots."""


@dataclass(frozen=True)
class Reader:
    """Who reads a pavement's page, and how: viewpoint None shows no condition."""

    person: Person
    viewpoint: str | None
    system: System
    today: date


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
    rows, records = _fetched(reader, pavement)
    outlook = access.find_outlook(request.user, pavement)
    condition = _decided(rows, records, reader)
    return render(
        request,
        "pavement/page.html",
        {
            "pavement": pavement,
            "head": title_block_of(request.user, pavement, as_of=reader.today),
            "from_sheet": sheet_number_in(request.GET.get("sheet", "")),
            "condition": condition,
            "outlook": outlook,
            "measured": measured_share(condition) if condition else None,
            **_pictures(rows, condition, reader, records, outlook),
            **_tables(pavement, reader, records),
            **_known(rows, condition, reader),
        },
    )


def _decided(rows: PavementRows, records: RecordRows, reader: Reader) -> PavementCondition | None:
    if reader.viewpoint is None:
        return None
    return decide_condition(rows.condition_rows(records), today=reader.today, system=reader.system)


def _reader(request: HttpRequest, pavement: Pavement) -> Reader:
    person = request.user
    return Reader(
        person=person,
        viewpoint=access.viewpoint_of(person, pavement),
        system=System(person.shown_system),
        today=local_today(pavement),
    )


def _fetched(reader: Reader, pavement: Pavement) -> tuple[PavementRows, RecordRows]:
    """Everything of the pavement that the page is made of."""
    person, visible = reader.person, access.visible_pavements(reader.person)
    rows = pavement_rows(
        pavement,
        viewpoint=reader.viewpoint,
        parts=visible.filter(Q(parent=pavement) | Q(pk=pavement.parent_id)),
        today=reader.today,
    )
    seen = access.visible_tests(person, pavement), access.visible_cleanings(person, pavement)
    spots = rows.all_spots
    return rows, record_rows(pavement, seen, viewpoint=reader.viewpoint, spots=spots)


def _pictures(
    rows: PavementRows,
    condition: PavementCondition | None,
    reader: Reader,
    records: RecordRows,
    outlook: Outlook | None,
) -> dict[str, object]:
    shown = ChartRows(
        tests=[t for t in records.seen_tests if t.state == "done"],
        cleanings=records.seen_cleanings,
        demand=rows.demand,
    )
    spots, days = rows.spots, condition.days if condition else ()
    newest = {day.spot.pk: day for day in days}
    listed = sorted(spots, key=lambda spot: spot.pk not in newest)[:SPOTS_LISTED]
    return {
        "plan": _plan_svg(rows, condition, reader, spots),
        "has_no_plan": current_plan(rows.pavement) is None,
        "chart": _chart_svg(rows, reader, (shown, records), outlook) if condition else "",
        "not_drawn": shown.not_drawn,
        "spots": [(spot, newest.get(spot.pk)) for spot in listed] if condition else [],
        "n_spots": len(spots),
    }


def _plan_svg(
    rows: PavementRows,
    condition: PavementCondition | None,
    reader: Reader,
    spots: list[Spot],
) -> SafeString:
    strata = rows.strata if condition else ()
    try:
        drawing = plan_picture(
            layout_of(rows.pavement, system=reader.system),
            on=reader.today,
            size_mm=PLAN_MM,
            system=reader.system,
            spots=spot_marks(spots, condition.days if condition else (), system=reader.system),
            states=state_areas(strata, condition) if condition else (),
            is_trimmed=True,
        )
    except DomainError as fault:
        return escape(fault.message)
    return _svg(drawing, "plan")


def _chart_svg(
    rows: PavementRows,
    reader: Reader,
    drawn: tuple[ChartRows, RecordRows],
    outlook: Outlook | None,
) -> SafeString:
    shown, records = drawn
    tables = FetchedTables(rows, records)
    try:
        curve = None
        if outlook is not None:
            curve = curve_of(rows.pavement, outlook, today=reader.today, tables=tables)
        drawing = draw_rates(
            shown,
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


def _tables(pavement: Pavement, reader: Reader, records: RecordRows) -> dict[str, object]:
    rights = access.rights_at(reader.person, pavement)
    tests, cleanings = records.seen_tests, records.seen_cleanings
    days, restorative = in_spots(records.seen_days), records.restorative
    return {
        "due": due_at(reader.person, pavement),
        "tests": [TestRow(t, made_of_test(t, reader.system)) for t in tests[:SHOWN]],
        "cleanings": [CleaningRow(c, _gains(c, days, restorative)) for c in cleanings[:SHOWN]],
        "more_records": max(len(tests), len(cleanings)) > SHOWN,
        "shown": SHOWN,
        "n_tests": len(tests),
        "n_cleanings": len(cleanings),
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
    rows: PavementRows,
    condition: PavementCondition | None,
    reader: Reader,
) -> dict[str, object]:
    pavement = rows.pavement
    demand = condition.demand if condition else rows.demand.on(reader.today)
    facts = pavement_facts(pavement, reader.system)
    below: tuple[Fact, ...] = ()
    for structure in rows.structures:
        below += structure_facts(structure, reader.system)
    seen = access.may_see_criteria(reader.person, pavement)
    criteria = criteria_facts(demand, reader.system) if seen else ()
    return {
        "whole": next((p for p in rows.parts if p.pk == pavement.parent_id), None),
        "split_into": [p for p in rows.parts if p.parent_id == pavement.pk],
        "facts": [f for f in facts if f.text],
        "criteria": [f for f in criteria if f.text],
        "run_on": run_on_facts(demand.run_on if seen else (), reader.system),
        "below": [f for f in below if f.text],
        "dirt_sources": rows.dirt_sources,
        "not_known": what_is_not_known((*facts, *criteria, *below)),
    }
