"""What the fit of its pool says of a pavement, and the fit itself."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from registry import access
from registry.access.defects import visible_visits
from registry.access.outlooks import may_count, runs
from registry.drawing.primitives import Drawing
from registry.drawing.svg import to_svg
from registry.faults import DomainError
from registry.gathering.chart import CHART_MM, ChartRows, draw_rates
from registry.gathering.curve import curve_of
from registry.gathering.layouts import current_plan
from registry.gathering.outlook_words import (
    after_cleaning,
    outlook_facts,
    since_words,
    untried,
    untried_words,
)
from registry.gathering.pavement_rows import (
    FetchedTables,
    PavementRows,
    RecordRows,
    pavement_rows,
    record_rows,
)
from registry.gathering.residuals import draw_residuals
from registry.gathering.run_off import water_words
from registry.gathering.upkeep import upkeep_of
from registry.models import METHOD_CLASSES, Cleaning, InfiltrationTest, Outlook, Pavement
from registry.sheets.box import PAPERS, paper_named
from registry.sheets.gathered import heading_of
from registry.sheets.outlook import PICTURE_MM, OutlookContent, draw_outlook
from registry.units import System
from registry.views.pavement import local_today
from registry.views.title import title_block_of


@require_safe
def outlook_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the outlook of a pavement: curve, spots, what a cleaning would do, how often."""
    pavement = access.get_pavement(request.user, pk)
    outlook = access.get_outlook(request.user, pavement)
    today, shown = local_today(pavement), _shown(request, pavement) if outlook else None
    place, may_join = access.place_and_way_in(request.user, pavement)
    rights = access.rights_at(request.user, pavement)
    context: dict[str, object] = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=today),
        "outlook": outlook,
        "place": place,
        "may_join": may_join,
        "may_leave": rights.may("edit"),
    }
    if outlook is not None and shown is not None:
        payer = rights.organisation_for("submit")
        context |= {
            "payer": payer,
            "chart": _chart(request, shown, outlook),
            "water": shown.water(today, request.user.shown_system),
            "upkeep": upkeep_of(pavement, outlook, payer, on=today),
            **_told_beside(shown, outlook),
        }
    return render(request, "outlook/page.html", context)


def _told_beside(shown: "Shown", outlook: Outlook) -> dict[str, object]:
    return {
        "not_drawn": shown.chart.not_drawn,
        "methods": [{**m, "words": METHOD_CLASSES[m["method"]]} for m in outlook.by_method],
        "untried": untried(outlook),
        "since": since_words(outlook.came_in_since),
    }


@require_safe
def outlook_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer the outlook as one page for the file, with the picture of the page: letter or A4."""
    pavement = access.get_pavement(request.user, pk)
    outlook = access.get_outlook(request.user, pavement)
    paper = request.GET.get("paper", "letter")
    if outlook is None or paper not in PAPERS:
        raise Http404("No outlook has been worked out yet, or no such paper.")
    system, today = System(request.user.shown_system), local_today(pavement)
    shown = _shown(request, pavement)
    content = OutlookContent(
        heading=heading_of(
            "OUTLOOK", pavement, current_plan(pavement), system, today,
            access.rights_at(request.user, pavement).organisation_for("submit"),
        ),
        picture=_drawing(request, shown, outlook, PICTURE_MM),
        facts=(*outlook_facts(outlook, system), *shown.beside(outlook, today, system)),
        methods=after_cleaning(outlook, system),
    )  # fmt: skip
    address = settings.PUBLIC_URL + reverse("outlook_page", args=[pk])
    return HttpResponse(
        draw_outlook(content, address, paper_named(paper)).pdf, content_type="application/pdf"
    )


@dataclass(frozen=True)
class Shown:
    """The rows of the picture; `tests` and `cleanings` are those that the reader may see."""

    rows: PavementRows
    records: RecordRows

    @property
    def tests(self) -> list[InfiltrationTest]:
        """Return the tests that were done and stand."""
        return [t for t in self.records.seen_tests if t.void_at is None and t.state == "done"]

    @property
    def cleanings(self) -> list[Cleaning]:
        """Return the cleanings that took dirt away and stand."""
        return [c for c in self.records.seen_cleanings if c.void_at is None and c.is_cleaning]

    @cached_property
    def chart(self) -> ChartRows:
        """Return what the picture draws."""
        return ChartRows(self.tests, self.cleanings, self.rows.demand)

    def water(self, today: date, system: str) -> str:
        """Say what the newest visit that saw water stand or run off tells of it."""
        seen = self.rows.water.newest_seen(today)
        return water_words(seen, system) if seen else ""

    def beside(self, outlook: Outlook, today: date, system: str) -> tuple[str, ...]:
        """Return what the paper tells beside the numbers."""
        since = since_words(outlook.came_in_since)
        told = (untried_words(outlook), since, self.water(today, system))
        return (*filter(None, told), *_left_out(self.chart.not_drawn))


def _shown(request: HttpRequest, pavement: Pavement) -> Shown:
    person = request.user
    rows = pavement_rows(
        pavement,
        viewpoint=None,
        parts=access.visible_pavements(person).none(),
        today=local_today(pavement),
        with_structure=False,
        told=visible_visits(person, pavement),
    )
    seen = access.visible_tests(person, pavement), access.visible_cleanings(person, pavement)
    # The curve rests on all tests, whoever sees it: it is the same for everyone.
    return Shown(rows, record_rows(pavement, seen, viewpoint="holder", spots=rows.all_spots))


def _chart(request: HttpRequest, shown: Shown, outlook: Outlook) -> SafeString:
    try:
        drawing = _drawing(request, shown, outlook, CHART_MM)
    except DomainError as fault:
        return escape(fault.message)
    # to_svg escapes every word that people wrote; only its own markup is left.
    return mark_safe(to_svg(drawing, id_prefix="decline"))


def _drawing(
    request: HttpRequest, shown: Shown, outlook: Outlook, size_mm: tuple[float, float]
) -> Drawing:
    """Draw the picture of page and paper: readings, cleanings, the decline with its band."""
    pavement, tables = shown.rows.pavement, FetchedTables(shown.rows, shown.records)
    today = local_today(pavement)
    curve = curve_of(pavement, outlook, today=today, tables=tables)
    return draw_rates(
        shown.chart,
        today=today,
        system=System(request.user.shown_system),
        size_mm=size_mm,
        band=curve.band if curve else None,
        future=curve.future if curve else None,
        is_thinned=True,
    )


def _left_out(count: int) -> tuple[str, ...]:
    return (f"Not drawn: {count} older runs that were not the lowest of their year.",)[:count]


@require_safe
def fit_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a fit: what it rests on, whether to believe it, what drives clogging in its pool."""
    fit = access.get_fit(request.user, pk)
    counts_told = may_count(request.user, fit)
    pictures = draw_residuals(fit, System(request.user.shown_system)) if counts_told else ()
    context = {
        "fit": fit,
        "may_count": counts_told,
        "runs": runs(request.user, fit.pool),
        "left_out": fit.left_out.items(),
        "unknown": fit.unknown_drivers.items(),
        # to_svg escapes every word that people wrote; only its own markup is left.
        "residuals": [
            mark_safe(to_svg(one, id_prefix=f"residuals-{n}")) for n, one in enumerate(pictures)
        ],
    }
    return render(request, "fit/page.html", context)
