"""Crews and machines of an organisation; added and corrected as other entries are."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.crews import crews_of, get_crew
from registry.access.work_orders import all_visible_work_orders
from registry.gathering.machine_facts import machine_facts
from registry.units import System

ORDERS_SHOWN = 50


@require_safe
def crew_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List crews, machines, days off and extra shifts of an organisation."""
    organisation = access.get_organisation(request.user, pk)
    context = {
        "organisation": organisation,
        "crews": crews_of(organisation),
        "machines": organisation.machines.order_by("name", "pk"),
        "holidays": organisation.crew_holidays.select_related("crew"),
        "extra_shifts": organisation.extra_shifts.select_related("crew"),
    }
    return render(request, "crew/list.html", context)


@require_safe
def crew_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a crew with its machine, its days and what it has to do."""
    crew = get_crew(request.user, pk)
    system = System(request.user.shown_system)
    orders = all_visible_work_orders(request.user).standing().filter(crew=crew, state="dated")
    context = {
        "crew": crew,
        "machine": machine_facts(crew.machine, system) if crew.machine else (),
        "holidays": crew.holidays.standing(),
        "extra_shifts": crew.extra_shifts.standing(),
        "orders": orders.for_list().order_by("dated_for", "starts_at", "pk")[:ORDERS_SHOWN],
        "lines": access.visible_lines_about(request.user, crew),
        "today": timezone.localdate(),
    }
    return render(request, "crew/page.html", context)
