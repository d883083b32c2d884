"""Looks at a defect outside a visit: add one; correct or void any of one's own."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.defects import get_defect, get_observation
from registry.actions.correct_observation import correct_observation
from registry.actions.record_observation import record_observation
from registry.actions.void_entry import void_entry
from registry.defects import kind_of
from registry.forms.observation import ObservationForm
from registry.forms.reason import ReasonForm
from registry.gathering.defects import haste_of
from registry.models import Defect, Observation
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today


@require_http_methods(["GET", "POST"])
def observation_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a look at a known defect."""
    defect = get_defect(request.user, pk, to="record_defect")
    pavement = defect.pavement
    form = ObservationForm(
        request.POST or None,
        **_measured_by(defect),
        defect=defect,
        system=pavement.sheet_system,
        initial={"seen_on": local_today(pavement), "seen_by": request.user.name or ""},
    )
    if request.method == "POST" and form.is_valid():
        organisation = access.acting_organisation(request.user, pavement, "record_defect")
        look = try_action(
            form, record_observation, form.entry(), by=request.user, organisation=organisation
        )
        if look is not None:
            _tell(request, look)
            return redirect(f"{reverse('defect_page', args=[pk])}#looks")
    return render(request, "defect/look.html", {"row": defect, "form": form})


def _measured_by(defect: Defect) -> dict[str, Any]:
    kind = kind_of(defect.kind)
    return {"asks": kind.asks, "label": kind.label}


def _tell(request: HttpRequest, look: Observation) -> None:
    defect = look.defect
    defect.refresh_from_db(fields=["state"])
    urgency = haste_of(defect, [look]).urgency
    if urgency is not None and urgency.is_urgent:
        messages.error(request, f"Make it safe today. {urgency.why} {urgency.caution}")
    messages.success(request, "The look is stored.", extra_tags=f"look-{defect.pk}")


@require_http_methods(["GET", "POST"])
def observation_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a look by a line; its severity is worked out anew."""
    row = get_observation(request.user, pk, to="correct")
    form = ObservationForm(
        request.POST or None,
        instance=row,
        **_measured_by(row.defect),
        system=row.defect.pavement.sheet_system,
        leaves_out=("seen_on",) if row.visit_id else (),
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"], **form.extras()}
        organisation = row.entered_for
        if try_action(
            form, correct_observation, row, by=request.user, organisation=organisation, **given
        ):
            tell_corrected(request, row)
            return redirect(f"{reverse('defect_page', args=[row.defect_id])}#looks")
    lines = access.visible_lines_about(request.user, row)
    context = {"row": row.defect, "look": row, "form": form, "reason": reason, "lines": lines}
    return render(request, "defect/look.html", context)


@require_http_methods(["GET", "POST"])
def observation_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void a look, with a reason; what it moved stays moved, and says so."""
    row = get_observation(request.user, pk, to="correct")
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        why, organisation = form.cleaned_data["why"], row.entered_for
        if try_action(form, void_entry, row, why=why, by=request.user, organisation=organisation):
            messages.success(
                request,
                f"The look is void. The defect stays “{row.defect.get_state_display()}”: if this "
                "look moved it, go back with a reason.",
            )
            return redirect("defect_page", row.defect_id)
    context = {"row": row.defect, "look": row, "form": form, "press": "Void the look"}
    return render(request, "defect/change.html", context)
