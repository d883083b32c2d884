"""What a contractor's own years of placing show, as a page and as a file."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.callbacks import callbacks_answered_by
from registry.access.placing import days_placed_by, raveled_shares_seen_by
from registry.access.raveling import raveling_among
from registry.exchange.placing_years_file import placing_years_csv
from registry.forms.placing_years import PlacingYearsForm
from registry.gathering.claim_words import NOT_LIABLE
from registry.gathering.outlined_shares import rows_of_looks
from registry.gathering.placing_years import PlacingYears, placing_years
from registry.models import Organisation
from registry.placing.area_rates import per_area_unit
from registry.placing.pattern import FEWEST_LOADS
from registry.units import System

Found = tuple[PlacingYearsForm, PlacingYears, str]


@require_safe
def placing_years_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what was called back and raveled of the concrete of some years, by class of load."""
    organisation = access.get_organisation(request.user, pk)
    form, found, span = _found(request, organisation)
    context: dict[str, Any] = {
        "organisation": organisation,
        "form": form,
        "found": found,
        "query": request.GET.urlencode(),
        "not_liable": NOT_LIABLE,
        "unit": per_area_unit(System(request.user.shown_system)),
        "fewest": FEWEST_LOADS,
        "cells": [("placed", span), ("as of", f"{timezone.localdate():%Y-%m-%d}")],
    }
    return render(request, "placing_years/page.html", context)


@require_safe
def placing_years_file(request: HttpRequest, pk: int) -> HttpResponse:
    """Give out the tables of the page as CSV."""
    organisation = access.get_organisation(request.user, pk)
    _, found, span = _found(request, organisation)
    text = placing_years_csv(found, System(request.user.shown_system))
    response = HttpResponse(text, content_type="text/csv; charset=utf-8")
    name = f"placing-{span.replace(' ', '-')}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _found(request: HttpRequest, organisation: Organisation) -> Found:
    days = days_placed_by(organisation)
    years = sorted({on.year for on in days.dates("placed_on", "year")})
    form = PlacingYearsForm(request.GET or None, years=years)
    span = form.span()
    since, until = span or (0, 0)
    found = placing_years(
        days.filter(placed_on__year__gte=since, placed_on__year__lte=until)
        if span
        else days.none(),
        callbacks_answered_by(organisation),
        raveled_shares_seen_by(organisation),
        rows_of_looks(*raveling_among(request.user, organisation)),
        cause=form.cause_chosen(),
    )
    return form, found, f"{since} to {until}" if span else "never"
