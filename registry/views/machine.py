"""A machine: what it can do, where it was, what it regained."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.cleanings import cleanings_read_whole, cleanings_with, tests_read_whole
from registry.access.crews import get_machine
from registry.gathering.machine_facts import machine_facts
from registry.gathering.method_recovery import recovery_rows
from registry.measuring.certainty import FEWEST
from registry.units import System

SHOWN = 50


@require_safe
def machine_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a machine with its crews, its last cleanings and its recovery over twelve months."""
    machine = get_machine(request.user, pk)
    today = timezone.localdate()
    done = cleanings_with(request.user, machine).standing().select_related("pavement", "work_order")
    context = {
        "machine": machine,
        "facts": machine_facts(machine, System(request.user.shown_system)),
        "crews": machine.crews.standing().order_by("name", "pk"),
        "done": done.order_by("-done_on", "-pk")[:SHOWN],
        "recovery": [
            row
            for row in recovery_rows(
                cleanings_read_whole(request.user),
                tests_read_whole(request.user),
                since=today - timedelta(days=364),
                until=today,
                machine=machine,
            )
            if not row.machine
        ],
        "fewest": FEWEST,
        "lines": access.visible_lines_about(request.user, machine),
    }
    return render(request, "machine/page.html", context)
