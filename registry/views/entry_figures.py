"""What follows from an entry of the placing record while it is typed; nothing is stored."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from registry.access.placing import visible_placing_days
from registry.gathering.entry_figures import LIVE
from registry.gathering.entry_figures import entry_figures as figures_of_entry
from registry.models import Core, PlacingDay
from registry.units import System
from registry.views.parents import noun_called, parent_of


@require_POST
def entry_figures(request: HttpRequest, noun: str, pk: int) -> HttpResponse:
    """Answer with the figures of what is typed so far."""
    kind = noun_called(noun)
    parent, _ = parent_of(request.user, kind, pk)
    form = kind.form(request.POST, parent=parent, system=request.user.shown_system)
    row = form.instance
    if not isinstance(row, LIVE):
        raise Http404("Nothing follows at once from it.")
    form.is_valid()  # what cannot be read yet is left out: its field says so when it is sent
    for column, names in getattr(form, "names", {}).items():
        setattr(row, column, names)
    if hasattr(row, "system"):
        row.system = form.chosen_system.value
    days: list[PlacingDay] = []
    if isinstance(row, Core):
        days = list(visible_placing_days(request.user, row.pavement).standing().in_order())
    figures = figures_of_entry(row, system=System(request.user.shown_system), days=days)
    return render(request, "entry/_figures.html", {"figures": figures})
