"""The calendar of seasons of an organisation; added and corrected as other entries are."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry import access
from registry.forms.season import SeasonForm
from registry.forms.season_day import SeasonDayForm


@require_safe
def season_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List when which method makes sense, by climate."""
    organisation = access.get_organisation(request.user, pk)
    context = {
        "organisation": organisation,
        "seasons": SeasonForm.rows(organisation),
        "days": SeasonDayForm.rows(organisation),
    }
    return render(request, "season/list.html", context)
