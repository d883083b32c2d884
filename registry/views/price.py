"""The prices of cleaning of an organisation; added and corrected as other entries are."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry import access
from registry.forms.price import PriceForm


@require_safe
def price_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List what an organisation pays for cleaning, by method and day."""
    organisation = access.get_organisation(request.user, pk)
    context = {"organisation": organisation, "prices": PriceForm.rows(organisation)}
    return render(request, "price/list.html", context)
