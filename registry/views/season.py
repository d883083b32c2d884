"""The calendar of seasons of an organisation; added and corrected as other entries are."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry import access
from registry.forms.rule_setting import RuleSettingForm
from registry.forms.season import SeasonForm
from registry.forms.season_day import SeasonDayForm
from registry.gathering.work_limits import limit_lines, threshold_lines
from registry.units import System


@require_safe
def season_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List when which method makes sense, by climate, and which limits work and word go by."""
    organisation = access.get_organisation(request.user, pk)
    settings, system = RuleSettingForm.rows(organisation), System(request.user.shown_system)
    context = {
        "organisation": organisation,
        "seasons": SeasonForm.rows(organisation),
        "days": SeasonDayForm.rows(organisation),
        "limits": limit_lines(settings, system),
        "thresholds": threshold_lines(settings, system),
    }
    return render(request, "season/list.html", context)
