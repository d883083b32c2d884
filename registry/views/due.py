"""What is due and why, over all pavements whose record a person reads: as a list and as a file."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from django.core.paginator import Page, Paginator
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.due import find_due, payers_at, prices_of, seen_dues
from registry.access.work_orders import all_visible_work_orders
from registry.exchange.due_file import due_csv
from registry.forms.due_filters import DueFilters
from registry.gathering.due_list import (
    Beside,
    DueLine,
    due_lines,
    dues_in_order,
    in_pieces,
    owners_of,
    price_of,
)
from registry.models import Due, Pavement, Person, Price, WorkOrder
from registry.models.rights import READERS_OF_ALL
from registry.units import System

A_PAGE = 50


@require_safe
def due_list(request: HttpRequest) -> HttpResponse:
    """List what is due, by its latest day unless asked otherwise."""
    at = timezone.now()
    filters = DueFilters(request.GET, seen_dues(request.user), at=at)
    # Fetching all ids asks less than counting and then a page.
    ids = list(filters.ordered.values_list("pk", flat=True))
    page = Paginator(ids, A_PAGE).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    count, today = len(ids), timezone.localdate()
    context = {
        "form": filters.form,
        "narrowed_by": filters.narrowed_by,
        "lines": _lines(request.user, dues_in_order(filters.qs, list(page.object_list)), at),
        "page": page,
        "ranked_from": page.start_index() if filters.is_ranked else None,
        "query": f"{query.urlencode()}&" if query else "",
        "reads_less": bool(access.open_roles(request.user) - READERS_OF_ALL),
        "cells": [
            ("found", f"{count} pavement{'s'[: count != 1]}"),
            *_told_on_paper(page, filters.narrowed_by),
            ("as of", f"{today:%Y-%m-%d}"),
        ],
    }
    return render(request, "due/list.html", context)


def _told_on_paper(page: Page, narrowed_by: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield which lines these are and what narrowed them: on paper no form says so."""
    if page.paginator.num_pages > 1:
        yield "lines", f"{page.start_index()} to {page.end_index()}"
    if words := ", ".join(narrowed_by):
        yield "narrowed by", words


@require_safe
def due_export(request: HttpRequest) -> StreamingHttpResponse:
    """Give out what the list shows, all pages of it, as CSV."""
    at, system = timezone.now(), System(request.user.shown_system)
    filters = DueFilters(request.GET, seen_dues(request.user), at=at)
    pieces = (_lines(request.user, piece, at) for piece in in_pieces(filters.ordered))
    text = due_csv(pieces, system)
    response = StreamingHttpResponse(text, content_type="text/csv; charset=utf-8")
    name = f"due-{timezone.localdate():%Y-%m-%d}.csv"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def due_at(person: Person, pavement: Pavement) -> DueLine | None:
    """Return the line of one pavement as its page shows it; None where it is not seen."""
    due = find_due(person, pavement)
    if due is None:
        return None
    due.pavement = pavement
    payer = access.rights_at(person, pavement).organisation_for("order_cleaning")
    told, price = (vars(due).get(name) for name in ("open_order", f"price_{due.method_class}"))
    beside = Beside(
        owners={},
        payers={pavement.pk: payer} if payer else {},
        prices={payer.pk: [price_of(price)] if price else []} if payer else {},
        orders={pavement.pk: WorkOrder(**told)} if told else {},
    )
    return next(due_lines([due], beside, at=timezone.now(), system=System(person.shown_system)))


def _lines(person: Person, rows: Iterable[Due], at: datetime) -> list[DueLine]:
    dues = list(rows)
    ids = [due.pavement_id for due in dues]
    payers = payers_at(person, ids)
    prices: dict[int, list[Price]] = {}
    for price in prices_of(set(payers.values())) if payers else ():
        prices.setdefault(price.organisation_id, []).append(price)
    orders = all_visible_work_orders(person).open().filter(pavement__in=ids)
    beside = Beside(
        owners=owners_of(ids, at),
        payers=payers,
        prices=prices,
        orders={row.pavement_id: row for row in orders.order_by("pk")},
    )
    return list(due_lines(dues, beside, at=at, system=System(person.shown_system)))
