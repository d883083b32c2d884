"""Pour plans of a pavement: made with everything that follows live, corrected, shown, printed."""

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.pour_plans import get_pour_plan, planning_side, visible_pour_plans
from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.forms.pour_plan import PourPlanForm
from registry.forms.reason import ReasonForm
from registry.gathering.claim_words import PLACING
from registry.gathering.layouts import current_plan
from registry.gathering.pour_plan import lanes_of, pour_figures
from registry.gathering.pour_words import PourWords, pour_words
from registry.models import Pavement, PourPlan
from registry.sheets.box import PAPERS, paper_named
from registry.sheets.gathered import heading_of
from registry.sheets.pour_plan_paper import GUIDE, HOURS, LOADS, PourPaper, draw_pour_plan
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import title_block_of

A_PAGE = 50


@require_safe
def pour_plan_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the pour plans of a pavement that one sees."""
    pavement = access.get_pavement(request.user, pk)
    rows = visible_pour_plans(request.user, pavement).in_order().select_related("entered_for")
    rights = access.rights_at(request.user, pavement)
    may_add = rights.organisation_for("record_placing") is not None
    page = Paginator(list(rows), A_PAGE).get_page(request.GET.get("page"))
    return _shown(request, pavement, "list", page=page, may_add=may_add)


@require_http_methods(["GET", "POST"])
def pour_plan_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Plan a placing day."""
    pavement = access.get_pavement(request.user, pk, to="record_placing")
    side = access.acting_organisation(request.user, pavement, "record_placing")
    form = _form(request, pavement)
    if request.method == "POST" and form.is_valid():
        row = try_action(form, add_entry, form.entry(), by=request.user, organisation=side)
        if row is not None:
            messages.success(request, f"Stored: {row}.", extra_tags=f"pour-{pavement.pk}")
            return redirect("pour_plan_page", row.pk)
    return _shown(request, pavement, "add", form=form)


@require_http_methods(["GET", "POST"])
def pour_plan_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a plan by a line; to show it to the other side is a correction too."""
    row = get_pour_plan(request.user, pk, to="write")
    side = planning_side(request.user, row)
    form, reason = _form(request, row.pavement, row), ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(form, correct_entry, row, by=request.user, organisation=side, **given):
            tell_corrected(request, row)
            return redirect("pour_plan_page", pk)
    lines = access.visible_lines_about(request.user, row)
    return _shown(request, row.pavement, "correct", form=form, reason=reason, row=row, lines=lines)


@require_POST
def pour_plan_figures(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer with what follows from a plan while it is typed; nothing is stored."""
    pavement = access.get_pavement(request.user, pk, to="record_placing")
    form = _form(request, pavement)
    form.is_valid()
    row: Any = PourPlan(pavement=pavement, system=form.chosen_system.value)
    for name, value in form.cleaned_data.items():
        if name in form.columns and name not in form.errors:
            setattr(row, name, value)
    words = _words(request, row) if row.planned_on else None
    context: dict[str, Any] = {"words": words, "tables": _tables(words)}
    context |= {"left_out": form.left_out, "wrong": form.errors.get("forecast", [])}
    return render(request, "pour_plan/_figures.html", context)


@require_safe
def pour_plan_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a plan: stop rule, loads in order, evaporation by the hour."""
    row = get_pour_plan(request.user, pk)
    rights = access.rights_at(request.user, row.pavement)
    side, words = rights.organisation_for("record_placing"), _words(request, row)
    context = {
        "row": row,
        "words": words,
        "tables": _tables(words),
        "guide": GUIDE,
        "may_correct": side is not None and side.pk == row.entered_for_id and not row.is_void,
        "lines": access.visible_lines_about(request.user, row),
    }
    return _shown(request, row.pavement, "page", **context)


@require_safe
def pour_plan_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer the plan on paper."""
    row = get_pour_plan(request.user, pk)
    paper = request.GET.get("paper", "letter")
    if paper not in PAPERS:
        raise Http404("No such paper.")
    pavement, words = row.pavement, _words(request, row)
    own = access.rights_at(request.user, pavement).organisation_for("record_placing")
    system, on = System(request.user.shown_system), local_today(pavement)
    title = f"POUR PLAN {row.planned_on}"
    content = PourPaper(
        heading_of(title, pavement, current_plan(pavement), system, on, own), **vars(words)
    )
    address = settings.PUBLIC_URL + reverse("pour_plan_page", args=[pk])
    drawn = draw_pour_plan(content, address, paper_named(paper))
    return HttpResponse(drawn.pdf, content_type="application/pdf")


def _form(request: HttpRequest, pavement: Pavement, row: PourPlan | None = None) -> PourPlanForm:
    given: dict[str, Any] = {"instance": row} if row is not None else {}
    return PourPlanForm(
        request.POST if request.method == "POST" else None,
        request.FILES or None,
        parent=pavement,
        system=row.system if row is not None else request.user.shown_system,
        **given,
    )


def _words(request: HttpRequest, row: PourPlan) -> PourWords:
    lanes = lanes_of(row.pavement, row.planned_on)
    figures = pour_figures(row, lanes, row.pavement.site.time_zone)
    return pour_words(row, figures, System(request.user.shown_system))


Cells = list[tuple[str, str]]


def _tables(words: PourWords | None) -> list[tuple[str, list[str], list[Cells]]]:
    """Return the tables of paper, each cell with the head of its column for a narrow page."""
    if words is None:
        return []
    found = []
    for title, columns, rows in (
        ("Loads in their order", LOADS, words.loads),
        ("Forecast", HOURS, words.hours),
    ):
        heads = [column.head or "against the limit" for column in columns]
        found.append((title, heads, [list(zip(heads, row, strict=True)) for row in rows]))
    return found


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    context = {"pavement": pavement, "head": head, "cautions": PLACING, **more}
    return render(request, f"pour_plan/{name}.html", context)
