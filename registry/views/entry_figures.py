"""What follows from an entry of the placing record while it is typed; nothing is stored."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from registry.access.placing import visible_placing_days
from registry.forms.entry import EntryForm
from registry.gathering.entry_figures import LIVE
from registry.gathering.entry_figures import entry_figures as figures_of_entry
from registry.models import Core, PlacingDay
from registry.numerals import whole_number
from registry.units import System
from registry.views.entry import find_entry
from registry.views.parents import noun_called, parent_of


@require_POST
def entry_figures(request: HttpRequest, noun: str, pk: int) -> HttpResponse:
    """Answer with the figures of what is typed so far."""
    form = _form(request, noun, pk)
    row = form.instance
    if not isinstance(row, LIVE):
        raise Http404("Nothing follows at once from it.")
    form.is_valid()
    _leave_out_what_cannot_be_read(form)
    for column, names in getattr(form, "names", {}).items():
        setattr(row, column, names)
    if hasattr(row, "system"):
        row.system = form.chosen_system.value
    days: list[PlacingDay] = []
    if isinstance(row, Core):
        days = list(visible_placing_days(request.user, row.pavement).standing().in_order())
    figures = figures_of_entry(row, system=System(request.user.shown_system), days=days)
    return render(request, "entry/_figures.html", {"figures": figures})


def _form(request: HttpRequest, noun: str, pk: int) -> EntryForm:
    """Return the form as typed: of a new entry, or of the one that `of` names and it corrects."""
    given: dict[str, Any] = {"system": request.user.shown_system}
    corrected = whole_number(request.POST.get("of", ""))
    if corrected is None:
        kind = noun_called(noun)
        parent, _ = parent_of(request.user, kind, pk)
    else:
        kind, parent, _, given["instance"] = find_entry(request, noun, pk, corrected)
    form: EntryForm = kind.form(request.POST, parent=parent, **given)
    return form


def _leave_out_what_cannot_be_read(form: EntryForm) -> None:
    """Empty the columns of unreadable fields: the old value is not what was typed.

    Its field says so when the form is sent.
    """
    for name in form.errors:
        if name in form.columns:
            column = form.instance._meta.get_field(name)
            setattr(form.instance, name, None if column.null else column.get_default())
