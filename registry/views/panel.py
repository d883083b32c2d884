"""Panels: the history of a name, and what may happen to a panel."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.defects import visible_defects
from registry.actions.change_panel import add_panel, correct_panel
from registry.actions.cut_panel import cut_panel
from registry.actions.end_panel import end_panel
from registry.actions.replace_panel import replace_panel
from registry.forms.panel import CutPanelForm, EndPanelForm, PanelForm, ReplacePanelForm
from registry.forms.reason import ReasonForm
from registry.models import Panel, Pavement
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action


@require_http_methods(["GET"])
def panel_page(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Show a panel and everything that ever bore its name."""
    pavement, panel = _panel(request, pk, row)
    named = pavement.panels.standing().filter(name=panel.name).select_related("plan", "cut_from")
    context = {
        "pavement": pavement,
        "panel": panel,
        "history": named.prefetch_related("cut_into").order_by("exists_from_on", "pk"),
        "spots": panel.spots.standing().order_by("pk"),
        "edges": panel.edges.standing().order_by("pk"),
        "lines": access.visible_journal(request.user, pavement).about(panel),  # type: ignore[attr-defined]
        "may_edit": access.may(request.user, pavement, "edit") and panel.exists_to_on is None,
    }
    return render(request, "panel/page.html", context)


def _panel(request: HttpRequest, pk: int, row: int, to: str = "read") -> tuple[Pavement, Panel]:
    pavement = access.get_pavement(request.user, pk, to=to)
    panels = pavement.panels.standing().select_related("plan", "cut_from", "replaces", "section")
    return pavement, get_object_or_404(panels, pk=row)


@require_http_methods(["GET", "POST"])
def panel_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add one panel to the plan in force."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    form = PanelForm(request.POST or None, parent=pavement, system=pavement.sheet_system)
    if request.method == "POST" and form.is_valid():
        organisation = access.acting_organisation(request.user, pavement, "edit")
        row = try_action(form, add_panel, form.entry(), by=request.user, organisation=organisation)
        if row is not None:
            messages.success(request, f"Panel {row} is on the plan.")
            return redirect("plan_page", pk)
    return render(request, "panel/add.html", {"pavement": pavement, "form": form})


@require_http_methods(["GET", "POST"])
def panel_correct(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Put the measures of a panel right by a line, a closing piece's above all."""
    pavement, panel = _panel(request, pk, row, to="edit")
    form = PanelForm(
        request.POST or None, instance=panel, parent=pavement, system=pavement.sheet_system
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        organisation = access.acting_organisation(request.user, pavement, "edit")
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(
            form, correct_panel, panel, by=request.user, organisation=organisation, **given
        ):
            tell_corrected(request, panel)
            return redirect("panel_page", pk, row)
    context = {"pavement": pavement, "panel": panel, "form": form, "reason": reason}
    return render(request, "panel/correct.html", context)


@require_http_methods(["GET", "POST"])
def panel_replace(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Write down that the concrete of a panel was replaced."""
    pavement, panel = _panel(request, pk, row, to="edit")
    form = ReplacePanelForm(request.POST or None)
    done = _changed(request, pavement, panel, form, replace_panel)
    if done is not None:
        messages.success(request, f"{panel} is replaced; its spots ended with the old concrete.")
        return redirect("panel_page", pk, done.pk)
    return _ask(request, pavement, panel, form, "panel/replace.html")


@require_http_methods(["GET", "POST"])
def panel_cut(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Write down that a panel was saw-cut in two."""
    pavement, panel = _panel(request, pk, row, to="edit")
    known = visible_defects(request.user, pavement).open().filter(panel=panel).order_by("number")
    form = CutPanelForm(request.POST or None, system=pavement.sheet_system, defects=known)

    def cut(row: Panel, *, at: float, system: str, **given: Any) -> tuple[Panel, Panel]:
        return cut_panel(row, at_m=at, **given)

    done = _changed(request, pavement, panel, form, cut)
    if done is not None:
        messages.success(request, f"{panel} is cut into {done[0]} and {done[1]}.")
        return redirect("plan_page", pk)
    return _ask(request, pavement, panel, form, "panel/cut.html")


@require_http_methods(["GET", "POST"])
def panel_end(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Write down that a panel was taken out for good."""
    pavement, panel = _panel(request, pk, row, to="edit")
    form = EndPanelForm(request.POST or None)
    done = _changed(request, pavement, panel, form, end_panel)
    if done is not None:
        messages.success(request, f"{panel} has ended; its name is not used for another place.")
        return redirect("plan_page", pk)
    return _ask(request, pavement, panel, form, "panel/end.html")


def _changed(
    request: HttpRequest,
    pavement: Pavement,
    panel: Panel,
    form: BaseForm,
    act: Callable[..., Any],
) -> Any:
    """Return what the action gives where the form is posted and valid, else None."""
    if request.method != "POST" or not form.is_valid():
        return None
    organisation = access.acting_organisation(request.user, pavement, "edit")
    given = {**form.cleaned_data, "by": request.user, "organisation": organisation}
    return try_action(form, act, panel, **given)


def _ask(
    request: HttpRequest, pavement: Pavement, panel: Panel, form: BaseForm, template: str
) -> HttpResponse:
    return render(request, template, {"pavement": pavement, "panel": panel, "form": form})
