"""Warranties of a pavement: terms, parts with their last days, limits of an answer, holidays."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.callbacks import (
    all_visible_callbacks,
    get_warranty,
    visible_callbacks,
    visible_hand_overs,
    visible_warranties,
    warranty_side,
)
from registry.access.holding import rights_at
from registry.forms.holiday_list import HolidayListForm
from registry.gathering.claim_words import NOT_LIABLE
from registry.gathering.recount import recounts_of
from registry.gathering.warranty_terms import calendar_of, parts_of, transfer_to
from registry.models import Pavement, Warranty
from registry.models.callback import CallbackQuerySet
from registry.models.choices import Role
from registry.models.together import together
from registry.placing.faults import NotGiven
from registry.views.pavement import local_today
from registry.views.signed_move import move_page
from registry.views.title import title_block_of

SHOWN = 20


@require_safe
def warranty_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the warranties of a pavement with their last days, its callbacks and certificates."""
    pavement = access.get_pavement(request.user, pk)
    rows = visible_warranties(request.user, pavement).standing()
    rows = rows.select_related("contractor").prefetch_related("parts")
    rights = rights_at(request.user, pavement)
    context = {
        **_head(request, pavement),
        "warranties": [(row, parts_of(row, row.parts.all())) for row in rows],
        "callbacks": visible_callbacks(request.user, pavement).standing()[:SHOWN],
        "shown": SHOWN,
        "hand_overs": visible_hand_overs(request.user, pavement).standing(),
        "may_record": rights.organisation_for("record_warranty") is not None,
        "may_hand_over": rights.organisation_for("hand_over") is not None,
        "may_receive": rights.organisation_for("receive_callback") is not None,
    }
    return render(request, "warranty/list.html", context)


@require_safe
def warranty_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the terms of a warranty and every date that follows from them."""
    row = get_warranty(request.user, pk)
    parts = parts_of(row, row.parts.all())
    covers, limits = together(row.covers.standing(), row.limits.standing())
    context = {
        **_head(request, row.pavement),
        "row": row,
        "parts": parts,
        "covers": sorted(covers, key=lambda one: one.pk),
        "limits": sorted(limits, key=lambda one: one.pk),
        "moves": row.moves.select_related("by", "by_organisation"),
        "calendar_trouble": _trouble(row),
        "transfer": _transfer(request, row),
        "recounts": recounts_of(_claims(request, row)),
        "may_write": warranty_side(rights_at(request.user, row.pavement), row) is not None,
        "lines": access.visible_lines_about(request.user, row),
    }
    return render(request, "warranty/page.html", context)


@require_http_methods(["GET", "POST"])
def warranty_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a warranty on, or back with a reason."""
    row = get_warranty(request.user, pk, to="write")
    own = warranty_side(rights_at(request.user, row.pavement), row)
    back = reverse("warranty_page", args=[pk])
    return move_page(request, row, pavement=row.pavement, side=lambda state: own, back=back)


@require_safe
def holiday_lists(request: HttpRequest, pk: int) -> HttpResponse:
    """List the holiday lists of an organisation's contracts."""
    organisation = access.get_organisation(request.user, pk)
    counted = all_visible_callbacks(request.user).standing().counted_by(organisation)
    context = {
        "organisation": organisation,
        "rows": HolidayListForm.rows(organisation),
        "recounts": recounts_of(counted.for_recount()),
    }
    return render(request, "warranty/holidays.html", context)


def _claims(request: HttpRequest, row: Warranty) -> CallbackQuerySet:
    rows = visible_callbacks(request.user, row.pavement).standing().filter(warranty=row)
    return rows.for_recount()


def _trouble(row: Warranty) -> str:
    found = calendar_of(row.holiday_list)
    return found.reason if isinstance(found, NotGiven) else ""


def _transfer(request: HttpRequest, row: Warranty) -> dict[str, Any] | None:
    """Return what becomes of the cover at the last sale after its start, None where none was."""
    seats = access.visible_seats(request.user, row.pavement)
    owners = [s for s in seats if s.role == Role.OWNER]
    begun = sorted(s.from_at.date() for s in owners if row.start_on is not None)
    sold = [day for day in begun if row.start_on and day > row.start_on]
    if not sold:
        return None
    found = transfer_to(row, sold_on=sold[-1], today=local_today(row.pavement))
    return {"sold_on": sold[-1], "found": found, "reason": getattr(found, "reason", "")}


def _head(request: HttpRequest, pavement: Pavement) -> dict[str, Any]:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    return {"pavement": pavement, "head": head, "not_liable": NOT_LIABLE}
