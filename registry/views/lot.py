"""Lots and their acceptance, and the cores of a pavement."""

from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.placing import visible_cores, visible_lots, visible_placing_days
from registry.gathering.claim_words import CUTTING
from registry.gathering.core_figures import core_rows
from registry.gathering.lot_tests import lot_results
from registry.models import Core, Lot
from registry.units import System
from registry.views.pavement import local_today
from registry.views.signed_move import move_page
from registry.views.title import title_block_of

A_PAGE = 50
LOTS = 20


@require_safe
def lot_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List lots with their tests against the rule, and cores with their deviations (N16)."""
    pavement = access.get_pavement(request.user, pk)
    rights = access.rights_at(request.user, pavement)
    lots = visible_lots(request.user, pavement).standing()
    lots = lots.prefetch_related("moves__by_organisation")
    tests = access.visible_tests(request.user, pavement).standing().filter(reason="acceptance")
    days = visible_placing_days(request.user, pavement).standing().in_order()
    lot_page, page = _pages(request, lots, visible_cores(request.user, pavement))
    system = System(request.user.shown_system)
    context: dict[str, Any] = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=local_today(pavement)),
        "lot_page": lot_page,
        "lots": lot_results(lot_page, list(tests.select_related("spot__panel")), system),
        "cores": core_rows(page.object_list, list(days), pavement.thickness_mm),
        "page": page,
        "own": {seat.organisation_id for seat in rights.open_seats},
        "may_lot": rights.organisation_for("record_placing") is not None,
        "may_core": rights.organisation_for("record_core") is not None,
        "cutting": CUTTING,
    }
    return render(request, "lot/list.html", context)


def _pages(request: HttpRequest, lots: QuerySet[Lot], cores: QuerySet[Core]) -> tuple[Page, Page]:
    """Return the page of lots and that of cores: each list is turned by itself."""
    return (
        Paginator(list(lots), LOTS).get_page(request.GET.get("lots")),
        Paginator(list(cores), A_PAGE).get_page(request.GET.get("page")),
    )


@require_http_methods(["GET", "POST"])
def lot_move(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Decide of a lot, or go back with a reason."""
    pavement = access.get_pavement(request.user, pk, to="record_placing")
    side = access.acting_organisation(request.user, pavement, "record_placing")
    lot = visible_lots(request.user, pavement).standing().filter(pk=row).first()
    if lot is None:
        raise Http404("No such lot.")
    back = reverse("lot_list", args=[pk])
    return move_page(request, lot, pavement=pavement, side=lambda state: side, back=back)
