"""Entries of the record that are alike: add one, correct it by a line, end it, void it."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from registry import access
from registry.actions.correct_entry import CorrectionsDiffer
from registry.actions.end_entry import end_entry
from registry.actions.keep_correction import keep_correction
from registry.actions.void_entry import void_entry
from registry.faults import DomainError
from registry.forms.reason import EndForm, ReasonForm
from registry.gathering.entry_figures import LIVE
from registry.gathering.entry_purpose import CAUTIONS, PURPOSES
from registry.models.entry import Entry
from registry.views.corrected import tell_corrected
from registry.views.parents import Noun, Parent, noun_called, page_of, parent_of

KEPT = (
    "Your correction is kept beside it, unchanged. Nothing was merged: on the first page "
    "(“what needs me now”) a person chooses between the two."
)


@require_http_methods(["GET", "POST"])
def entry_add(request: HttpRequest, noun: str, pk: int) -> HttpResponse:
    """Add an entry to a pavement, a site or an organisation."""
    kind = noun_called(noun)
    parent, organisation = parent_of(request.user, kind, pk)
    form = kind.form(request.POST or None, parent=parent, system=request.user.shown_system)
    if request.method == "POST" and form.is_valid():
        act = kind.add
        form.keep_inside_of(organisation)
        row = try_action(
            form, act, form.entry(), by=request.user, organisation=organisation, **form.extras()
        )
        if row is not None:
            kept = f"entry-{slugify(kind.word)}-{parent.pk}"
            messages.success(request, f"Stored: {named(kind, row)}.", extra_tags=kept)
            return redirect(page_of(parent, kind))
    is_live = isinstance(form.instance, LIVE)
    return _render(request, "entry/add.html", kind, parent, form=form, noun=noun, is_live=is_live)


@require_http_methods(["GET", "POST"])
def entry_correct(request: HttpRequest, noun: str, pk: int, row: int) -> HttpResponse:
    """Correct an entry by a correction line."""
    kind, parent, organisation, entry = find_entry(request, noun, pk, row)
    form = kind.form(
        request.POST or None, instance=entry, parent=parent, system=request.user.shown_system
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"], **form.extras()}
        stored = try_action(
            form, kind.correct, entry, by=request.user, organisation=organisation, **given
        )
        if stored is not None:
            tell_corrected(request, entry)
            return redirect(page_of(parent, kind))
    lines = access.visible_lines_about(request.user, entry)
    context = {"form": form, "reason": reason, "row": entry, "lines": lines}
    context |= {"is_live": isinstance(entry, LIVE), "called": named(kind, entry)}
    return _render(request, "entry/correct.html", kind, parent, noun=noun, **context)


@require_http_methods(["GET", "POST"])
def entry_end(request: HttpRequest, noun: str, pk: int, row: int) -> HttpResponse:
    """Say on which day an entry came to its end."""
    kind, parent, organisation, entry = find_entry(request, noun, pk, row)
    if not kind.ends:
        raise Http404("This kind of entry has no end.")
    form = EndForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        done = try_action(
            form, end_entry, entry, by=request.user, organisation=organisation, **given
        )
        if done is not None:
            messages.success(request, f"Stored: {entry} {kind.ends} on {given['on']:%Y-%m-%d}.")
            return redirect(page_of(parent, kind))
    return _render(request, "entry/end.html", kind, parent, form=form, row=entry)


@require_http_methods(["GET", "POST"])
def entry_void(request: HttpRequest, noun: str, pk: int, row: int) -> HttpResponse:
    """Take an entry out of use, with a reason; it stays readable."""
    kind, parent, organisation, entry = find_entry(request, noun, pk, row)
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        why = form.cleaned_data["why"]
        done = try_action(
            form, void_entry, entry, why=why, by=request.user, organisation=organisation
        )
        if done is not None:
            messages.success(request, f"Void: {entry}.")
            return redirect(page_of(parent, kind))
    return _render(request, "entry/void.html", kind, parent, form=form, row=entry)


def try_action(form: BaseForm, act: object, row: object, **given: Any) -> Any:
    """Call an action; what it refuses stands above the form, and None comes back."""
    try:
        return act(row, **given)  # type: ignore[operator]
    except CorrectionsDiffer as fault:
        keep_correction(fault)
        form.add_error(None, f"{fault.message} {KEPT}")
    except DomainError as fault:
        form.add_error(None, fault.message)
    except ValidationError as fault:
        form.add_error(None, ValidationError(fault.messages))
    return None


def find_entry(
    request: HttpRequest, noun: str, pk: int, row: int
) -> tuple[Noun, Parent, Any, Entry]:
    """Return an entry that this person may correct, with its kind, parent and their side."""
    kind = noun_called(noun)
    parent, organisation = parent_of(request.user, kind, pk, correcting=True)
    entry = get_object_or_404(
        kind.form.rows_to_correct(parent).filter(void_at__isnull=True), pk=row
    )
    if getattr(entry, "inside_of_id", None) not in (None, organisation.pk):
        raise Http404("No such entry.")
    if kind.by_author and entry.entered_for_id != organisation.pk:
        raise PermissionDenied("Only the side that wrote this entry may correct it.")
    return kind, parent, organisation, entry


def _render(
    request: HttpRequest, template: str, kind: Noun, parent: Parent, **more: Any
) -> HttpResponse:
    context = {"kind": kind, "parent": parent, "back": page_of(parent, kind), **more}
    noun = more.get("noun", "")
    context |= {"purpose": PURPOSES.get(noun, ""), "caution": CAUTIONS.get(noun, "")}
    return render(request, template, context)


def named(kind: Noun, row: object) -> str:
    """Return kind and name of an entry; the kind is not said twice."""
    name = str(row)
    says_kind = name.casefold().startswith(tuple(f"{word} " for word in kind.word.split()))
    return name if says_kind else f"{kind.word} {name}"
