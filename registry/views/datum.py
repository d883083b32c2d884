"""A datum that is gone: say so, work out where it was, mark it anew."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.actions.survey_plan import lose_datum, rebuild_datum
from registry.faults import DomainError
from registry.forms.resurvey import (
    DatumFromJointsForm,
    DatumFromTiesForm,
    DatumLostForm,
    DatumRebuiltForm,
)
from registry.gathering.rebuilt import Rebuilt, from_joints, from_ties
from registry.views.entry import try_action
from registry.views.plan import plan_in_force


@require_http_methods(["GET", "POST"])
def datum_lost(request: HttpRequest, pk: int) -> HttpResponse:
    """Say that the datum was found gone."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    plan, form = plan_in_force(pavement), DatumLostForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "by": request.user}
        organisation = access.acting_organisation(request.user, pavement, "edit")
        if try_action(form, lose_datum, plan, organisation=organisation, **given):
            messages.success(request, "Noted. New places are provisional until it is marked anew.")
            return redirect("plan_page", pk)
    return render(request, "plan/datum_lost.html", {"pavement": pavement, "form": form})


@require_http_methods(["GET", "POST"])
def datum_rebuild(request: HttpRequest, pk: int) -> HttpResponse:
    """Work out where the datum was, from its ties or from joints; then store it as marked anew."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    plan, system, step = plan_in_force(pavement), pavement.sheet_system, request.POST.get("step")
    ties = DatumFromTiesForm(_for(request, "ties"), system=system, auto_id="ties_%s")
    joints = DatumFromJointsForm(_for(request, "joints"), system=system, auto_id="joints_%s")
    marked = DatumRebuiltForm(_for(request, "marked"), system=system)
    found = None
    if step == "ties" and ties.is_valid():
        found = _worked_out(ties, from_ties)
    elif step == "joints" and joints.is_valid():
        found = _worked_out(joints, from_joints)
    elif step == "marked" and marked.is_valid():
        given = {**marked.cleaned_data, "by": request.user}
        given["misfit_m"] = given.pop("misfit")
        given.pop("system")
        organisation = access.acting_organisation(request.user, pavement, "edit")
        if try_action(marked, rebuild_datum, plan, organisation=organisation, **given):
            return redirect("plan_page", pk)
    context = {"pavement": pavement, "plan": plan, "ties": ties, "joints": joints}
    context |= {"marked": marked, "found": found}
    return render(request, "plan/datum_rebuild.html", context)


def _for(request: HttpRequest, step: str) -> Any:
    return request.POST if request.POST.get("step") == step else None


def _worked_out(form: Any, work_out: Any) -> Rebuilt | None:
    try:
        return work_out(form.cleaned_data, form.chosen_system)
    except DomainError as fault:
        form.add_error(None, fault.message)
        return None
