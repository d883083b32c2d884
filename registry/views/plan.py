"""Plans: look at one, draw one without drawing tools, measure it again, mark its datum anew."""

from datetime import date
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_http_methods

from registry import access
from registry.actions.correct_entry import correct_entry
from registry.actions.draw_plan import draw_plan, grid_of_panels, names_by_place
from registry.actions.survey_plan import resurvey_plan
from registry.drawing.key import key_drawing
from registry.drawing.plan_marks import DefectMark, PhotoMark
from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import DrawingError
from registry.drawing.svg import to_svg
from registry.faults import DomainError
from registry.forms.plan import DRAWING_FORMS, PlanForm
from registry.forms.reason import ReasonForm
from registry.forms.resurvey import ResurveyForm
from registry.gathering.layouts import (
    current_plan,
    find_layout,
    panels_of_plan,
    plan_on,
    plans_of,
)
from registry.gathering.plan_facts import area_of, plan_facts
from registry.models import Panel, Pavement, Person, Plan
from registry.numerals import whole_number
from registry.plan.layout import Layout
from registry.plan.panels import read_panel_name
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.plan_day import PlanDay, marks_of, photos_of, plan_day
from registry.views.title import title_block_of

PICTURE_MM = (90.0, 130.0)
"""Small enough that its letters can be read on a phone, where it is as wide as the screen: of 9 pt
they are 11.8 px high on one of 360 px."""
KEY_MM = 84.0
"""Two columns, whose words are 13 px high on a screen of 360 px."""
A_PAGE = 50


@require_http_methods(["GET"])
def plan_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the plan as it was on a day with the defects of then; `?number=` shows an old plan."""
    pavement = access.get_pavement(request.user, pk)
    asked, today = _asked_plan(request, pavement), local_today(pavement)
    usual = today if asked is None or asked.drawn_on is None else min(asked.drawn_on, today)
    day = plan_day(request.user, pavement, request.GET, today=today, usual=usual)
    plan = asked or plan_on(pavement, day.on)
    context: dict[str, Any] = {
        "pavement": pavement,
        "plan": plan,
        "head": title_block_of(request.user, pavement, as_of=day.on),
        "may_edit": access.may(request.user, pavement, "edit"),
        "may_note": access.may(request.user, pavement, "record_defect"),
        "kinds": DRAWING_FORMS,
        "day": day,
    }
    if plan is not None:
        context |= _shown(request.user, pavement, plan, day)
    return render(request, "plan/page.html", context)


def _asked_plan(request: HttpRequest, pavement: Pavement) -> Plan | None:
    """Return the plan of the number asked for, but for the one in force, which is as of a day."""
    asked = request.GET.get("number", "")
    if not asked:
        return None
    number = whole_number(asked, most_figures=9)
    if number is None:
        raise Http404("No such plan.")
    plan = get_object_or_404(pavement.plans.standing(), number=number)
    return None if plan == current_plan(pavement) else plan


def _shown(person: Person, pavement: Pavement, plan: Plan, day: PlanDay) -> dict[str, Any]:
    system, on = System(person.shown_system), day.on
    is_current = plan == current_plan(pavement)
    found = find_layout(pavement, plan, system=system)
    layout, trouble = found.layout, found.trouble
    defects = day.shown(pavement, layout, system)
    photos = photos_of(person, pavement, layout, day)
    return {
        "is_current": is_current,
        "on": on,
        "defects": defects,
        "page": Paginator(defects, A_PAGE).get_page(day.page),
        "key": key_picture(),
        "facts": plan_facts(plan, system),
        "drawing": escape(trouble)
        or picture_of(layout, on=on, system=system, marks=marks_of(defects), photos=photos),
        "panels": sorted(panels_of_plan(pavement, plan), key=_by_name),
        "area": area_of(layout, on=on, system=system),
        "plans": plans_of(pavement),
        "names": sorted(plan.old_names.items()),
        "lines": access.visible_journal(person, pavement).about(plan),  # type: ignore[attr-defined]
    }


def _by_name(panel: Panel) -> tuple[int, int, str, int]:
    name = read_panel_name(panel.name)
    return name.lane, name.number, name.suffix, panel.pk


def picture_of(
    layout: Layout | None,
    *,
    on: date,
    system: System,
    marks: tuple[DefectMark, ...] = (),
    photos: tuple[PhotoMark, ...] = (),
) -> SafeString:
    """Return the plan of a day as a picture, or why there is none."""
    try:
        drawing = plan_picture(
            layout,
            on=on,
            size_mm=PICTURE_MM,
            system=system,
            known_defects=marks,
            every_number=False,
            is_trimmed=True,
            photos=photos,
        )
    except DrawingError as fault:
        return escape(fault.message)
    # to_svg escapes every word that people wrote; only its own markup is left.
    return mark_safe(to_svg(drawing, id_prefix="plan"))


def key_picture() -> SafeString:
    """Return the drawing key, the same as on the inspection sheet, to be read on a telephone."""
    return mark_safe(to_svg(key_drawing(KEY_MM), id_prefix="key"))


@require_http_methods(["GET", "POST"])
def plan_add(request: HttpRequest, pk: int, kind: str) -> HttpResponse:
    """Draw a plan by panels, stations or squares; a later plan shows its list of names first."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    form_class = DRAWING_FORMS.get(kind)
    if form_class is None:
        raise Http404("No such way of drawing.")
    form = form_class(
        request.POST or None,
        parent=pavement,
        system=pavement.sheet_system,
        has_old_panels=_has_panels(pavement),
    )
    proposed = None
    if request.method == "POST" and form.is_valid():
        proposed = _proposed_names(request, form)
        if proposed is None and (plan := _drawn(request, form, pavement)) is not None:
            told = f"Plan {plan.number} is drawn. No plan before it is changed."
            messages.success(request, told, extra_tags=f"plan-{kind}-{pk}")
            return redirect("plan_page", pk)
    context = {"pavement": pavement, "form": form, "kind": kind, "proposed": proposed}
    return render(request, "plan/add.html", context)


def _has_panels(pavement: Pavement) -> bool:
    plan = current_plan(pavement)
    return plan is not None and pavement.panels.standing().on_plan(plan).exists()


def _panels(form: Any) -> list[Panel]:
    given = form.cleaned_data
    if form.kind != "panels":
        return []
    return grid_of_panels(given["widths"], given["lengths"], placed_on=given["placed_on"])


def _proposed_names(request: HttpRequest, form: Any) -> dict[str, str] | None:
    """Return names paired by place, for a person to look at before the plan is stored."""
    if "old_names" not in form.fields or request.POST.get("names_seen"):
        return None
    if form.cleaned_data["old_names"]:
        return None
    try:
        return names_by_place(form.entry(), _panels(form))
    except DomainError as fault:
        form.add_error(None, fault.message)
        return {}


def _drawn(request: HttpRequest, form: Any, pavement: Pavement) -> Plan | None:
    return try_action(
        form,
        draw_plan,
        form.entry(),
        panels=_panels(form),
        old_names=form.cleaned_data.get("old_names"),
        by=request.user,
        organisation=access.acting_organisation(request.user, pavement, "edit"),
    )


def plan_in_force(pavement: Pavement) -> Plan:
    """Return the plan in force; 404 where nobody has drawn one."""
    plan = current_plan(pavement)
    if plan is None:
        raise Http404("No plan is drawn yet.")
    return plan


@require_http_methods(["GET", "POST"])
def plan_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct datum, ties, up and check length of the plan in force by a line."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    plan = plan_in_force(pavement)
    form = PlanForm(
        request.POST or None, instance=plan, parent=pavement, system=pavement.sheet_system
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        organisation = access.acting_organisation(request.user, pavement, "edit")
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(
            form, correct_entry, plan, by=request.user, organisation=organisation, **given
        ):
            tell_corrected(request, plan)
            return redirect("plan_page", pk)
    context = {"pavement": pavement, "plan": plan, "form": form, "reason": reason}
    return render(request, "plan/correct.html", context)


@require_http_methods(["GET", "POST"])
def plan_resurvey(request: HttpRequest, pk: int) -> HttpResponse:
    """Compare the check length and three joints with the plan, and keep what was found."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    plan = plan_in_force(pavement)
    form, check = ResurveyForm(request.POST or None, system=pavement.sheet_system), None
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        check = try_action(
            form,
            resurvey_plan,
            plan,
            check_length_m=given["check_length"],
            joints=given["joints"],
            measured_on=given["measured_on"],
            measured_by=given["measured_by"],
            system=form.chosen_system,
            by=request.user,
            organisation=access.acting_organisation(request.user, pavement, "edit"),
        )
    context = {"pavement": pavement, "plan": plan, "form": form, "check": check}
    return render(request, "plan/resurvey.html", context)
