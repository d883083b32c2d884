"""What the fit of its pool says of a pavement, and the fit itself."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from registry import access
from registry.drawing.svg import to_svg
from registry.gathering.chart import CHART_MM, ChartRows, draw_rates
from registry.gathering.curve import curve_of
from registry.gathering.demand import demand_rows
from registry.gathering.upkeep import upkeep_of
from registry.models import METHOD_CLASSES, Outlook, Pavement
from registry.units import System
from registry.views.pavement import local_today
from registry.views.title import title_block_of


@require_safe
def outlook_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the outlook of a pavement: curve, spots, what a cleaning would do, how often."""
    pavement = access.get_pavement(request.user, pk)
    outlook = access.get_outlook(request.user, pavement)
    today = local_today(pavement)
    context: dict[str, object] = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=today),
        "outlook": outlook,
        "place": access.place_of(pavement),
        "may_join": access.may_join(request.user, pavement),
        "may_leave": access.rights_at(request.user, pavement).may("edit"),
        "payer": None,
    }
    if outlook is not None:
        payer = access.rights_at(request.user, pavement).organisation_for("submit")
        context |= {
            "payer": payer,
            "chart": _chart(request, pavement, outlook),
            "methods": [{**m, "words": METHOD_CLASSES[m["method"]]} for m in outlook.by_method],
            "upkeep": upkeep_of(pavement, outlook, payer, on=today),
        }
    return render(request, "outlook/page.html", context)


def _chart(request: HttpRequest, pavement: Pavement, outlook: Outlook) -> SafeString:
    today = local_today(pavement)
    tests = access.visible_tests(request.user, pavement).standing().filter(state="done")
    rows = ChartRows(
        tests=tests.select_related("spot"),
        cleanings=access.visible_cleanings(request.user, pavement).done(),
        demand=demand_rows(pavement),
    )
    curve = curve_of(pavement, outlook, today=today)
    drawing = draw_rates(
        rows,
        today=today,
        system=System(request.user.shown_system),
        size_mm=CHART_MM,
        band=curve.band if curve else None,
        future=curve.future if curve else None,
    )
    # to_svg escapes every word that people wrote; only its own markup is left.
    return mark_safe(to_svg(drawing, id_prefix="decline"))


@require_safe
def fit_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a fit: what it rests on, whether to believe it, what drives clogging in its pool."""
    fit = access.get_fit(request.user, pk)
    context = {"fit": fit, "left_out": fit.left_out.items(), "unknown": fit.unknown_drivers.items()}
    return render(request, "fit/page.html", context)
