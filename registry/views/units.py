"""Switch between the two systems of units."""

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from registry.actions.choose_units import choose_units
from registry.models.choices import ReadingSystem


@require_POST
def units_choose(request: HttpRequest) -> HttpResponse:
    """Show the person the other system, and go back to where they were."""
    wanted = request.POST.get("system", "")
    if wanted not in ReadingSystem.values:
        return HttpResponseBadRequest("Choose ft, in, lb or m, mm, kg.")
    choose_units(request.user, by=request.user, system=ReadingSystem(wanted))
    back = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(back, {request.get_host()}, request.is_secure()):
        return redirect(back)
    return redirect("home")
