"""What is put right, moved, linked or voided at a defect."""

from collections.abc import Iterable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from registry import access
from registry.access.carried_defects import visible_closed_before_split
from registry.access.defects import get_defect, may_move, visible_defects
from registry.actions.correct_defect import correct_defect
from registry.actions.link_defects import link_defects
from registry.actions.move_defect import move_defect
from registry.actions.void_entry import void_entry
from registry.defects import next_states
from registry.forms.defect import DefectCorrectForm, LinkForm, MoveForm
from registry.forms.reason import ReasonForm
from registry.gathering.defects import states_before
from registry.gathering.layouts import current_plan
from registry.models import Defect, DefectMove
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action


@require_http_methods(["GET", "POST"])
def defect_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a defect by a line; its place is read on the plan of the day it was first seen."""
    row = get_defect(request.user, pk, to="correct")
    form = DefectCorrectForm(
        request.POST or None,
        instance=row,
        parent=row.pavement,
        system=row.pavement.sheet_system,
        has_plan=current_plan(row.pavement) is not None,
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        given |= {"system": System(form.chosen_system), "by": request.user}
        if try_action(form, correct_defect, row, organisation=row.entered_for, **given):
            tell_corrected(request, row)
            return redirect("defect_page", pk)
    context = {"row": get_defect(request.user, pk), "form": form, "reason": reason}
    return render(request, "defect/correct.html", context)


@require_POST
def defect_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void a defect, with a reason."""
    row = get_defect(request.user, pk, to="correct")
    form = ReasonForm(request.POST)
    if form.is_valid():
        why, organisation = form.cleaned_data["why"], row.entered_for
        if try_action(form, void_entry, row, why=why, by=request.user, organisation=organisation):
            messages.success(request, "The defect is void; it stays readable.")
            return redirect("defect_page", pk)
    return render(request, "defect/change.html", _refused(row, form, "Void", "defect_void"))


@require_POST
def defect_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a defect on, or back with a reason."""
    row = get_defect(request.user, pk, to="record_defect")
    form = move_form(row, request.POST)
    if not may_move(request.user, row):
        form.add_error(None, "Only its keepers, or the side that noted it, move it.")
    elif form.is_valid():
        organisation = access.acting_organisation(request.user, row.pavement, "record_defect")
        given = {**form.given, "by": request.user, "organisation": organisation}
        if try_action(form, move_defect, row, **given):
            messages.success(request, f"{row} is now: {row.get_state_display()}.")
            return redirect(f"{reverse('defect_page', args=[pk])}#moves")
    return render(request, "defect/change.html", _refused(row, form, "Move", "defect_move"))


@require_POST
def defect_link(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what a defect is to another."""
    row = get_defect(request.user, pk, to="record_defect")
    others = visible_defects(request.user, row.pavement).standing().exclude(pk=pk)
    closed = visible_closed_before_split(request.user, row.pavement)
    form = LinkForm(request.POST, others=others, closed=closed)
    if not may_move(request.user, row):
        form.add_error(None, "Only its keepers, or the side that noted it, link it.")
    elif form.is_valid():
        organisation = access.acting_organisation(request.user, row.pavement, "record_defect")
        given = {**form.cleaned_data, "by": request.user, "organisation": organisation}
        if try_action(form, link_defects, row, **given):
            messages.success(request, "The link is stored.")
            return redirect(f"{reverse('defect_page', args=[pk])}#links")
    return render(request, "defect/change.html", _refused(row, form, "Link", "defect_link"))


def move_form(
    row: Defect, data: Any = None, *, told: Iterable[DefectMove] | None = None, **options: Any
) -> MoveForm:
    """Return the form of the moves that may follow, and of the ways back; `told` are its moves."""
    earlier = [state for state in states_before(row, told) if state != row.state]
    return MoveForm(data, following=next_states(row.state), earlier=earlier, **options)


def _refused(row: Defect, form: Any, press: str, url: str) -> dict[str, Any]:
    """What was refused is shown on a page of its own, with everything that was typed."""
    return {"row": row, "form": form, "press": press, "action": reverse(url, args=[row.pk])}
