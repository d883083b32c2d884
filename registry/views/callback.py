"""Callbacks: the book of them, one taken in, its page with clocks and answer, its moves."""

from functools import partial
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.db.models import Case, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.callbacks import (
    acting_side,
    all_visible_callbacks,
    get_callback,
    placing_organisations,
    side_to_move,
    visible_notes,
    visible_repairs,
    visible_warranties,
)
from registry.access.defects import visible_recurrences
from registry.access.holding import rights_at
from registry.actions.correct_entry import correct_entry
from registry.actions.receive_callback import receive_callback
from registry.forms.callback import CallbackForm
from registry.forms.reason import ReasonForm
from registry.gathering.callback_clocks import clocks_of, notice_of, said_dates
from registry.gathering.callback_rows import callback_rows
from registry.gathering.claim_words import CUTTING, NOT_LIABLE
from registry.gathering.frozen import said_of_freeze
from registry.gathering.recount import recount_of
from registry.gathering.recurrences import Recurrence, recurrences_under
from registry.gathering.settled import settled_of
from registry.gathering.warranty_terms import parts_of
from registry.models import Callback, Organisation, Pavement, Person
from registry.models.choices import Role
from registry.numerals import whole_number
from registry.placing.claim_moves import ENDED, settlement_is_signed
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.signed_move import move_page
from registry.views.title import title_block_of

A_PAGE = 50


@require_safe
def callback_list(request: HttpRequest) -> HttpResponse:
    """List the callbacks one sees, open ones first."""
    rows = all_visible_callbacks(request.user).standing()
    wanted = whole_number(request.GET.get("pavement", ""))
    if wanted is not None:
        rows = rows.filter(pavement=wanted)
    if only_open := request.GET.get("state") == "open":
        rows = rows.open()
    is_over = Case(When(state__in=ENDED, then=1), default=0)
    rows = rows.select_related("pavement", "contractor")
    rows = rows.order_by(is_over, "-counted_on", "-pk")
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    asked = request.GET.copy()
    asked.pop("page", None)
    query = f"{asked.urlencode()}&" if asked else ""
    context = {"page": page, "query": query, "only_open": only_open, "cells": ()}
    context["placers"] = placing_organisations(request.user)
    return render(request, "callback/list.html", context)


@require_http_methods(["GET", "POST"])
def callback_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Take in a callback as it came."""
    pavement = access.get_pavement(request.user, pk, to="receive_callback")
    organisation = access.acting_organisation(request.user, pavement, "receive_callback")
    form = _form(request, pavement)
    if request.method == "POST" and form.is_valid():
        row: Any = form.entry()
        row.contractor = _contractor(request, row, pavement, organisation)
        row.claimed_for = _owner(request, pavement)
        if row.contractor is None:
            form.add_error("warranty", "Name the warranty: who has to answer is not known else.")
        elif try_action(form, receive_callback, row, by=request.user, organisation=organisation):
            messages.success(request, f"Stored: {row}.", extra_tags=f"callback-{pavement.pk}")
            return redirect("callback_page", row.pk)
    return _shown(request, pavement, "add", form=form)


def _form(request: HttpRequest, pavement: Pavement, row: Callback | None = None) -> CallbackForm:
    options: dict[str, Any] = {} if row is None else {"instance": row}
    return CallbackForm(
        request.POST or None,
        parent=pavement,
        system=request.user.shown_system,
        warranties=visible_warranties(request.user, pavement).standing(),
        **options,
    )


def _contractor(request: HttpRequest, row: Callback, pavement: Pavement, own: Any) -> Any:
    if row.warranty is not None:
        return row.warranty.contractor
    seats = access.visible_seats(request.user, pavement)
    found = {s.organisation for s in seats if s.role == Role.CONTRACTOR}
    return own if own in found else found.pop() if len(found) == 1 else None


def _owner(request: HttpRequest, pavement: Pavement) -> Any:
    seats = access.visible_seats(request.user, pavement)
    return next((s.organisation for s in seats if s.role == Role.OWNER and s.is_open), None)


@require_safe
def callback_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a callback: clocks, terms, claim, findings, answers, what is attached, what is next."""
    row = get_callback(request.user, pk)
    rows = callback_rows(
        row,
        notes=visible_notes(request.user, row),
        repairs=visible_repairs(request.user, row.pavement).standing(),
    )
    rights = rights_at(request.user, row.pavement)
    shown = {
        "row": row,
        "rows": rows,
        "clocks": clocks_of(row, rows, today=local_today(row.pavement)),
        "said": said_dates(row, rows.agreed, viewer=acting_side(rights, row, "settle")),
        "notice": notice_of(row, parts_of(row.warranty, rows.parts) if row.warranty else ()),
        "own": rights.organisations,
        "settled": settled_of(rows.settlement),
        "came_back": _came_back(request.user, row),
        "frozen": said_of_freeze(row, rows.moves),
        "recount": None if row.is_void else recount_of(row),
        "is_signed": settlement_is_signed(row.state, [(m.to_state, m.is_back) for m in rows.moves]),
        "may": _may(request.user, row),
        "cutting": CUTTING,
    }
    return _shown(request, row.pavement, "page", **shown)


def _may(person: Person, row: Callback) -> dict[str, bool]:
    """Return what the person may do in a callback."""
    rights = rights_at(person, row.pavement)
    may = {to: acting_side(rights, row, to) is not None for to in ("answer", "settle", "add")}
    return may | {"correct": correcting_side(person, row) is not None}


def _came_back(person: Person, row: Callback) -> list[Recurrence]:
    """What came back after a repair of it, or is attached to it, as far as the person sees both."""
    links = visible_recurrences(person, row.pavement)
    return recurrences_under(row, links, visible_repairs(person, row.pavement))


def correcting_side(person: Person, row: Callback) -> Organisation | None:
    """Return the side that wrote a callback, where the person acts for it."""
    side = acting_side(rights_at(person, row.pavement), row, "settle")
    return side if side is not None and row.entered_for_id in (None, side.pk) else None


@require_http_methods(["GET", "POST"])
def callback_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what a callback says, by a line; refused while it is in dispute."""
    row = get_callback(request.user, pk, to="settle")
    side = correcting_side(request.user, row)
    if side is None:
        raise PermissionDenied("Only the side that wrote this entry may correct it.")
    form = _form(request, row.pavement, row)
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(form, correct_entry, row, by=request.user, organisation=side, **given):
            tell_corrected(request, row)
            return redirect("callback_page", pk)
    return _shown(request, row.pavement, "correct", form=form, reason=reason, row=row)


@require_http_methods(["GET", "POST"])
def callback_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a callback on, or back with a reason."""
    row = get_callback(request.user, pk, to="add")
    side = partial(side_to_move, rights_at(request.user, row.pavement), row)
    back = reverse("callback_page", args=[pk])
    return move_page(request, row, pavement=row.pavement, side=side, back=back)


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    context = {"pavement": pavement, "head": head, "not_liable": NOT_LIABLE, **more}
    return render(request, f"callback/{name}.html", context)
