"""Cleanings: record, look at, correct, void."""

from collections.abc import Iterable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from registry import access
from registry.access.corrections import waiting_about
from registry.access.work_orders import machines_to_choose
from registry.actions.correct_cleaning import Named, correct_cleaning
from registry.actions.record_cleaning import record_cleaning
from registry.actions.void_entry import void_entry
from registry.faults import DomainError
from registry.forms.cleaning import CleaningForm
from registry.forms.cleaning_correct import CleaningCorrectForm
from registry.forms.reason import ReasonForm
from registry.gathering.area_doubt import area_done_doubt
from registry.gathering.cleaning_around import around_cleaning
from registry.gathering.gains import gains_of
from registry.models import CleanedPanel, Cleaning, Pavement
from registry.models.panel import plan_order
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import TitleBlock, title_block_of


@require_http_methods(["GET", "POST"])
def cleaning_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Record a cleaning."""
    pavement = access.get_pavement(request.user, pk, to="record_cleaning")
    form = _form(request, pavement)
    if request.method == "POST" and form.is_valid():
        try:
            row = record_cleaning(
                form.entry(),
                by=request.user,
                organisation=access.acting_organisation(request.user, pavement, "record_cleaning"),
                covered=form.cleaned_data.get("covered") or (),
                missed=form.missed_panels(),
                before_tests=form.cleaned_data["before_tests"],
                after_tests=form.cleaned_data["after_tests"],
            )
        except (DomainError, ValidationError) as fault:
            form.add_error(None, str(fault) if isinstance(fault, DomainError) else fault)
        else:
            messages.success(request, "The cleaning is stored.")
            return redirect("cleaning_page", row.pk)
    return render(
        request,
        "cleaning/add.html",
        {"pavement": pavement, "head": _block(request, pavement), "form": form},
    )


@require_http_methods(["GET"])
def cleaning_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a cleaning with the panels it covered and what it regained."""
    row = access.get_cleaning(request.user, pk)
    tests = access.visible_tests(request.user, row.pavement).select_related("spot")
    told, others = around_cleaning(row)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": _block(request, row.pavement),
        "panels": _panels(told),
        "area_doubt": area_done_doubt(
            row.area_m2, row.pavement.area_m2, system=System(request.user.shown_system)
        ),
        "gains": gains_of(row, tests, others),
        "may_see_price": access.may_see_prices(request.user, row),
        "lines": access.visible_lines_about(request.user, row),
        "waiting": waiting_about(request.user, row),
        "is_author": access.is_author(request.user, row) and not row.is_void,
        "void_form": ReasonForm(auto_id="void_%s"),
    }
    return render(request, "cleaning/page.html", context)


def _panels(told: Iterable[CleanedPanel]) -> list[tuple[str, str]]:
    """Return ("covered", names) and ("missed, because ...", names) of a cleaning."""
    named: dict[str, list[str]] = {}
    for part in told:
        words = f"missed, {part.why or 'no reason given'}" if part.is_missed else "covered"
        named.setdefault(words, []).append(part.panel.name)
    return [(words, ", ".join(sorted(names, key=plan_order))) for words, names in named.items()]


@require_http_methods(["GET", "POST"])
def cleaning_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct a cleaning by a correction line."""
    row = access.get_cleaning(request.user, pk, to="correct")
    form = _correct_form(request, row)
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and reason.is_valid():
        why = reason.cleaned_data["why"]
        given: dict[str, Any] = {"by": request.user, "organisation": row.entered_for, "why": why}
        given |= {
            "changes": form.changes(),
            "named": Named(**named) if (named := form.named()) else None,
        }
        if try_action(form, correct_cleaning, row, **given) is not None:
            tell_corrected(request, row)
            return redirect("cleaning_page", pk)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": _block(request, row.pavement),
        "form": form,
        "reason": reason,
    }
    return render(request, "cleaning/correct.html", context)


@require_POST
def cleaning_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void a cleaning, with a reason."""
    row = access.get_cleaning(request.user, pk, to="correct")
    form = ReasonForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say why the cleaning is void.")
        return redirect("cleaning_page", pk)
    try:
        why = form.cleaned_data["why"]
        void_entry(row, why=why, by=request.user, organisation=row.entered_for)
    except DomainError as fault:
        messages.error(request, str(fault))
    else:
        messages.success(request, "The cleaning is void.")
    return redirect("cleaning_page", pk)


def _block(request: HttpRequest, pavement: Pavement) -> TitleBlock:
    return title_block_of(request.user, pavement, as_of=local_today(pavement))


def _form(request: HttpRequest, pavement: Pavement) -> CleaningForm:
    panels = pavement.panels.standing().filter(exists_to_on__isnull=True)
    return CleaningForm(request.POST or None, panels=panels, **_options(request, pavement))


def _correct_form(request: HttpRequest, row: Cleaning) -> CleaningCorrectForm:
    """The form of a stored cleaning; its panels are those of its day and those it names."""
    panels = row.pavement.panels.standing().of_cleaning(row)
    return CleaningCorrectForm(
        request.POST or None, panels=panels, stored=row, **_options(request, row.pavement)
    )


def _options(request: HttpRequest, pavement: Pavement) -> dict[str, Any]:
    tests = access.visible_tests(request.user, pavement).standing().select_related("spot")
    return {
        "pavement": pavement,
        "tests": tests,
        "machines": machines_to_choose(request.user, pavement),
        "offer_all": request.GET.get("tests") == "all",
        "today": local_today(pavement),
        "system": request.user.shown_system,
    }
