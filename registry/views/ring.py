"""The rings of an organisation; added and corrected as other entries are."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.forms.ring import RingForm


@require_http_methods(["GET"])
def ring_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List an organisation's rings with their inside diameters as measured."""
    organisation = access.get_organisation(request.user, pk)
    context = {"organisation": organisation, "rings": RingForm.rows(organisation).order_by("name")}
    return render(request, "ring/list.html", context)
