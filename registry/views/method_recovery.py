"""Did it work: what methods and machines regained over a year."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry.access.cleanings import cleanings_read_whole, tests_read_whole
from registry.access.crews import visible_machines
from registry.forms.method_recovery import RecoverySpanForm
from registry.gathering.method_recovery import recovery_rows
from registry.measuring.certainty import FEWEST
from registry.measuring.cleaning_gain import NEAR_DAYS


@require_safe
def method_recovery(request: HttpRequest) -> HttpResponse:
    """Show recovery by method and machine, over the pavements the person reads whole."""
    cleanings, tests = cleanings_read_whole(request.user), tests_read_whole(request.user)
    years = sorted({on.year for on in cleanings.done().dates("done_on", "year")}, reverse=True)
    form = RecoverySpanForm(request.GET or None, years=years, today=timezone.localdate())
    since, until = form.days()
    rows = recovery_rows(cleanings, tests, since=since, until=until)
    machines = visible_machines(request.user).filter(pk__in=[r.machine_id for r in rows])
    context = {
        "form": form,
        "rows": rows,
        "linked": frozenset(machines.values_list("pk", flat=True)),
        "fewest": FEWEST,
        "near_days": NEAR_DAYS,
        "cells": [("from", f"{since:%Y-%m-%d}"), ("to", f"{until:%Y-%m-%d}")],
    }
    return render(request, "method_recovery/page.html", context)
