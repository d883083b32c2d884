"""Infiltration tests: record, look at, correct, answer, void."""

import hashlib
from datetime import date
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from registry import access
from registry.access.corrections import waiting_about
from registry.actions.answer_doubt import (
    answer_doubt,
    is_lifted_by_answer,
    keep_out,
    let_rule_decide,
)
from registry.actions.correct_entry import correct_entry
from registry.actions.record_infiltration_test import record_infiltration_test
from registry.actions.void_entry import void_entry
from registry.faults import DomainError
from registry.forms.infiltration_test import InfiltrationTestForm
from registry.forms.quantity import DayField
from registry.forms.reason import AnswerForm, ReasonForm, UseForm
from registry.gathering.demand import demand_rows
from registry.gathering.preview import preview_test
from registry.gathering.readings import Judged
from registry.gathering.ring_range import ring_range_words
from registry.gathering.test_days import test_days
from registry.measuring import rates_of_times
from registry.models import InfiltrationTest, Pavement
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import TitleBlock, title_block_of

DAYS_A_PAGE = 10
RUNS_A_DAY = 100
"""Runs of one day that the list of days names; a page of its own names them all."""


@require_http_methods(["GET", "POST"])
def infiltration_test_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Record a run; what is doubtful about it is shown once before it is stored."""
    pavement, right = access.get_pavement_to_test(request.user, pk)
    form = _form(request, pavement)
    if right == "record_acceptance":
        form.ask_acceptance_only()
    judged = None
    if request.method == "POST" and form.is_valid():
        row = form.entry()
        judged = _as_told(request, preview_test(row), pavement)
        if _was_shown(request, judged):
            organisation = access.acting_organisation(request.user, pavement, right)
            stored = _try(form, record_infiltration_test, row, request, organisation)
            if stored is not None:
                messages.success(request, "The run is stored.")
                return redirect("infiltration_test_page", stored.pk)
    context = {
        "pavement": pavement,
        "head": _block(request, pavement),
        "form": _with_what_times_give(form),
        "judged": judged,
        "ring_range": ring_range_words(row, access.visible_rings(request.user)) if judged else "",
        "shown": _digest(judged),
    }
    return render(request, "infiltration_test/add.html", context)


@require_http_methods(["GET"])
def infiltration_test_list(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the days of tests at a pavement, newest first, each summed up by stratum; or one day."""
    pavement = access.get_pavement(request.user, pk)
    rows = access.visible_tests(request.user, pavement).standing()
    on = _asked_day(request)
    dates = rows.filter(started_on=on) if on else rows
    page = Paginator(dates.days(), DAYS_A_PAGE).get_page(request.GET.get("page"))
    tests = rows.filter(started_on__in=list(page)).select_related("spot")
    context = {
        "pavement": pavement,
        "head": _block(request, pavement),
        "days": test_days(pavement, tests, demand_rows(pavement)),
        "page": page,
        "on": on,
        "at_most": None if on else RUNS_A_DAY,
        "may_test": access.may(request.user, pavement, "record_test"),
    }
    return render(request, "infiltration_test/list.html", context)


def _asked_day(request: HttpRequest) -> date | None:
    """Return the day that the address asks for; None where it asks for none."""
    try:
        return DayField(required=False).clean(request.GET.get("on"))
    except ValidationError as fault:
        raise Http404("No such day.") from fault


@require_http_methods(["GET"])
def infiltration_test_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a run with its readings, formula, result, doubts and corrections."""
    row = access.get_test(request.user, pk)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": _block(request, row.pavement),
        "doubts": [_doubt(row, one) for one in row.doubts],
        "ring_range": _ring_range(row),
        "lines": access.visible_lines_about(request.user, row),
        "waiting": waiting_about(request.user, row),
        "is_author": access.is_author(request.user, row) and not row.is_void,
        "void_form": ReasonForm(auto_id="void_%s"),
        "use_form": UseForm(auto_id="use_%s"),
    }
    return render(request, "infiltration_test/page.html", context)


def _doubt(row: InfiltrationTest, told: dict[str, Any]) -> dict[str, Any]:
    """Return a doubt as stored, with its answer and the form for one."""
    code = told["code"]
    form = AnswerForm(initial={"code": code})
    more = {"answer": row.answers.get(code), "form": form, "can_lift": is_lifted_by_answer(code)}
    return {**told, **more}


def _ring_range(row: InfiltrationTest) -> str:
    """Say what the rings of the side that wrote the run would give, where its ring is missing."""
    if row.ring is not None or row.entered_for is None:
        return ""
    return ring_range_words(row, row.entered_for.rings.standing())


@require_http_methods(["GET", "POST"])
def infiltration_test_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a run by a correction line."""
    row = access.get_test(request.user, pk, to="correct")
    form = _form(request, row.pavement, stored=row)
    reason = ReasonForm(request.POST or None)
    asked = request.method == "POST" and form.is_valid() and reason.is_valid()
    if asked and _is_corrected(request, row, form, reason.cleaned_data["why"]):
        tell_corrected(request, row)
        return redirect("infiltration_test_page", pk)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": _block(request, row.pavement),
        "form": _with_what_times_give(form),
        "reason": reason,
    }
    return render(request, "infiltration_test/correct.html", context)


def _is_corrected(
    request: HttpRequest, row: InfiltrationTest, form: InfiltrationTestForm, why: str
) -> bool:
    """Correct the run; where that is refused, say why on the form."""
    given = {"why": why, "by": request.user, "organisation": row.entered_for}
    return try_action(form, correct_entry, row, changes=form.changes(), **given) is not None


@require_POST
def infiltration_test_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void a run, with a reason."""
    row = access.get_test(request.user, pk, to="correct")
    form = ReasonForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say why the run is void.")
        return redirect("infiltration_test_page", pk)
    return _answer(request, row, void_entry, why=form.cleaned_data["why"], done="The run is void.")


@require_POST
def infiltration_test_answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep the answer to a doubt."""
    row = access.get_test(request.user, pk, to="correct")
    form = AnswerForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say who answered the doubt, and what.")
        return redirect("infiltration_test_page", pk)
    return _answer(request, row, answer_doubt, done="The answer is kept.", **form.cleaned_data)


@require_POST
def infiltration_test_use(request: HttpRequest, pk: int) -> HttpResponse:
    """Decide by hand that a run is only looked at, or let the rules decide again."""
    row = access.get_test(request.user, pk, to="correct")
    form = UseForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say what the run may be used for, and why.")
        return redirect("infiltration_test_page", pk)
    act = keep_out if form.cleaned_data["use"] == "looked_at" else let_rule_decide
    return _answer(request, row, act, why=form.cleaned_data["why"], done="The use is changed.")


def _answer(
    request: HttpRequest, row: InfiltrationTest, act: object, *, done: str, **given: object
) -> HttpResponse:
    try:
        act(row, by=request.user, organisation=row.entered_for, **given)  # type: ignore[operator]
    except DomainError as fault:
        messages.error(request, str(fault))
    else:
        messages.success(request, done)
    return redirect("infiltration_test_page", row.pk)


def _form(
    request: HttpRequest, pavement: Pavement, stored: InfiltrationTest | None = None
) -> InfiltrationTestForm:
    return InfiltrationTestForm(
        request.POST or None,
        pavement=pavement,
        spots=pavement.spots.standing(),
        rings=access.visible_rings(request.user),
        system=pavement.sheet_system,
        stored=stored,
        initial=None
        if stored
        else {"spot": request.GET.get("spot", ""), "sheet_number": request.GET.get("sheet", "")},
    )


def _with_what_times_give(form: InfiltrationTestForm) -> InfiltrationTestForm:
    """Say on a refused form what each reading of an unclear time gives; the form is returned."""
    if form.is_bound and not form.is_valid() and (times := form.unclear_time) is not None:
        read = form.row_values.get("ring"), form.row_values.get("water")
        if told := rates_of_times(times, *read, form.chosen_system):
            form.add_error("seconds", told)
    return form


def _try(
    form: InfiltrationTestForm,
    act: object,
    row: InfiltrationTest,
    request: HttpRequest,
    organisation: object,
) -> InfiltrationTest | None:
    try:
        return act(row, by=request.user, organisation=organisation)  # type: ignore[operator]
    except (DomainError, ValidationError) as fault:
        form.add_error(None, str(fault) if isinstance(fault, DomainError) else fault)
        return None


def _block(request: HttpRequest, pavement: Pavement) -> TitleBlock:
    return title_block_of(request.user, pavement, as_of=local_today(pavement))


def _as_told(request: HttpRequest, judged: Judged, pavement: Pavement) -> Judged:
    """Return what is said of a run that is not stored yet, veiled as a stored one is."""
    shown = access.visible_tests(request.user, pavement)
    return judged.veiled() if judged.rests_on_others and shown.is_veiled else judged


def _digest(judged: Judged | None) -> str:
    """Return what stands for having been shown these doubts and this result."""
    if judged is None:
        return ""
    told = [str(judged.result), *(d.code + d.message for d in judged.doubts)]
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:16]


def _was_shown(request: HttpRequest, judged: Judged) -> bool:
    """Say whether the writer has seen just these doubts; without doubts nothing has to be seen."""
    return not judged.doubts or request.POST.get("shown") == _digest(judged)
