"""Rounds of an organisation's crews: list, ask for one, look at it, stop the search."""

from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.rounds import crews_of_round, get_round, visible_rounds
from registry.actions.ask_for_round import ask_for_round
from registry.actions.stop_round import stop_round
from registry.faults import DomainError
from registry.forms.round import RoundForm
from registry.gathering.round_problem import local_times_of, place_names_of
from registry.gathering.round_week import compared, week_of
from registry.gathering.travel_table import TravelTableError, read_travel_table
from registry.models import TravelTable
from registry.units import System

LISTED = 50


@require_safe
def round_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the rounds of an organisation, the newest of each that was changed or solved again."""
    organisation = access.get_organisation(request.user, pk)
    rows = visible_rounds(request.user).filter(organisation=organisation)
    rows = rows.newest_of_each().select_related("asked_by")
    page = Paginator(rows, LISTED).get_page(request.GET.get("page"))
    context = {"organisation": organisation, "page": page}
    return render(request, "round/list.html", context)


@require_http_methods(["GET", "POST"])
def round_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a round."""
    organisation = access.get_organisation(request.user, pk)
    zones = local_times_of(organisation, at=timezone.now())
    system = System(request.user.shown_system)
    form = RoundForm(request.POST or None, request.FILES or None, system=system, zones=zones)
    if request.method == "POST" and form.is_valid():
        try:
            row = form.row_for(organisation, _travel_table(form))
            ask_for_round(row, by=request.user)
        except TravelTableError as fault:
            form.add_error("travel", fault.message)
        except DomainError as fault:
            form.add_error(None, fault.message)
        else:
            return redirect("round_page", row.pk)
    places = place_names_of(organisation, at=timezone.now()) if request.method == "GET" else ()
    context = {"organisation": organisation, "form": form, "places": places}
    return render(request, "round/add.html", context)


def _travel_table(form: RoundForm) -> TravelTable | None:
    file = form.cleaned_data["travel"]
    return TravelTable.of(read_travel_table(file.read())) if file else None


@require_safe
def round_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a round: how far it is, its days by crew, what was left out and why."""
    row = get_round(request.user, pk)
    crews = list(crews_of_round(row))
    pins = list(row.pins.select_related("order", "crew"))
    left = row.left_out.select_related("order__pavement", "crew")
    wanted = _day(request.GET.get("week"))
    context = {
        "row": row,
        "week": week_of(row, wanted, crews, pins) if row.has_a_plan else None,
        "crews": crews,
        "pins": pins,
        "called_off": row.called_off.select_related("crew"),
        "left_out": Paginator(left, LISTED).get_page(request.GET.get("page")),
        "compared": compared(row),
        "later": row.followed_by.not_failed().order_by("-pk").first(),
    }
    return render(request, "round/page.html", context)


def _day(text: str | None) -> date | None:
    """Return the day of an address, or None where it is no day."""
    try:
        return date.fromisoformat(text or "")
    except ValueError:
        return None


@require_POST
def round_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop the search; the best so far is kept."""
    row = get_round(request.user, pk)
    try:
        stop_round(row, by=request.user)
    except DomainError as fault:
        messages.error(request, fault.message)
    return redirect("round_page", pk)
