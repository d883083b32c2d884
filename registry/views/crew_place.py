"""Depots, dump places and water points of an organisation."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry import access


@require_safe
def crew_place_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the places to which an organisation's crews drive."""
    organisation = access.get_organisation(request.user, pk)
    context = {
        "organisation": organisation,
        "depots": organisation.depots.order_by("name", "pk"),
        "dump_places": organisation.dumpplaces.order_by("name", "pk"),
        "water_points": organisation.waterpoints.order_by("name", "pk"),
    }
    return render(request, "crew_place/list.html", context)
