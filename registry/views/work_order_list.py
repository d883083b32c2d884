"""Work orders over all pavements a person may see, narrowed and sorted."""

from typing import Any

from django.core.paginator import Paginator
from django.db.models import Case, F, Value, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.crews import visible_crews
from registry.access.work_orders import all_visible_work_orders
from registry.forms.work_order_filters import WorkOrderFilters
from registry.planning.order_moves import OPEN, TO_SETTLE

A_PAGE = 50
STAGE = Case(
    When(state__in=OPEN, then=Value(0)), When(state__in=TO_SETTLE, then=Value(1)), default=Value(2)
)
"""What is still to do comes first, then what is to be checked, billed or paid."""
ORDERS: dict[str, tuple[Any, ...]] = {
    "day": (STAGE, F("dated_for").asc(nulls_last=True), F("latest_on").asc(nulls_last=True), "pk"),
    "latest": (F("latest_on").asc(nulls_last=True), "pk"),
    "asked": ("-asked_on", "-pk"),
    "pavement": ("pavement__name", "pk"),
}


@require_safe
def work_order_list(request: HttpRequest) -> HttpResponse:
    """List the orders the person may see, by day unless asked otherwise."""
    filters = WorkOrderFilters(
        request.GET,
        all_visible_work_orders(request.user).standing().for_list(),
        pavements=access.all_visible_pavements(request.user),
        crews=visible_crews(request.user),
    )
    rows = filters.qs.order_by(*ORDERS[filters.asked.get("sort") or "day"])
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    count, today = page.paginator.count, timezone.localdate()
    context = {
        "form": filters.form,
        "narrowed_by": filters.narrowed_by,
        "page": page,
        "today": today,
        "query": f"{query.urlencode()}&" if query else "",
        "cells": [("found", f"{count} order{'s'[: count != 1]}"), ("as of", f"{today:%Y-%m-%d}")],
    }
    return render(request, "work_order/list.html", context)
