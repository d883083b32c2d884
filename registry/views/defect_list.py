"""Defects over all pavements a person may see: as a list, and as files of just what it shows."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from tempfile import TemporaryFile
from typing import Any

from django.core.paginator import Paginator
from django.db.models import F
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.all_defects import (
    all_visible_defects,
    all_visible_observations,
    all_visible_visits,
    looks_of_listed,
)
from registry.access.recurring import all_visible_repairs, recurring_links
from registry.exchange.defect_files import csv_of, geojson_of, workbook_of
from registry.forms.defect_filters import DefectFilters
from registry.gathering.defect_list import (
    in_pieces,
    lines_of,
    of_severity,
    overdue_ones,
    rows_of,
    urgent_ones,
    with_last_found,
)
from registry.gathering.recurrences import recurrences_of_rows
from registry.models import Person
from registry.models.defect import DefectQuerySet
from registry.models.observation import ObservationQuerySet
from registry.models.repair import RepairQuerySet
from registry.models.visit import VisitQuerySet
from registry.units import System

A_PAGE = 50
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
ORDERS = {
    "pavement": ("pavement__name", "pavement", "number"),
    "first": ("-first_seen_on", "-pk"),
    "kind": ("kind", "pavement__name", "number"),
    "seen": (F("last_found").asc(nulls_first=True), "pk"),
}


@dataclass(frozen=True)
class Listed:
    """What was asked for, and the defects it leaves."""

    filters: DefectFilters
    rows: DefectQuerySet
    today: date


@dataclass(frozen=True)
class Seen:
    """What its reader may see beside the defects. Asked for once for all pieces of a file: they are
    made after the page is answered, when nothing is kept any more.
    """

    looks: ObservationQuerySet
    visits: VisitQuerySet
    repairs: RepairQuerySet


@require_safe
def defect_list(request: HttpRequest) -> HttpResponse:
    """Show the defects over all pavements the person may see, narrowed and sorted."""
    listed = _listed(request)
    # All ids by one question, counted and cut here: what one may see costs as much for one page.
    ids = list(listed.rows.values_list("pk", flat=True))
    page = Paginator(ids, A_PAGE).get_page(request.GET.get("page"))
    found = rows_of(page.object_list)
    seen = _seen(request.user, {row.pavement_id for row in found})
    query = request.GET.copy()
    query.pop("page", None)
    count = page.paginator.count
    context = {
        "form": listed.filters.form,
        "narrowed_by": listed.filters.narrowed_by,
        "lines": _lines(request, found, listed.today, seen),
        "page": page,
        "query": f"{query.urlencode()}&" if query else "",
        "cells": [
            ("found", f"{count} defect{'s'[: count != 1]}"),
            ("as of", f"{listed.today:%Y-%m-%d}"),
        ],
    }
    return render(request, "defect/list.html", context)


@require_safe
def defect_export(request: HttpRequest, form: str) -> HttpResponseBase:
    """Give out what the list shows, all pages of it, as CSV, XLSX or GeoJSON."""
    listed = _listed(request)
    seen = _seen(request.user)
    pieces = (_lines(request, piece, listed.today, seen) for piece in in_pieces(listed.rows))
    response: HttpResponseBase
    if form == "csv":
        response = StreamingHttpResponse(csv_of(pieces), content_type="text/csv; charset=utf-8")
    elif form == "geojson":
        response = StreamingHttpResponse(geojson_of(pieces), content_type="application/geo+json")
    elif form == "xlsx":
        target = TemporaryFile()  # noqa: SIM115  # the response closes it when it is sent
        workbook_of(target, pieces)
        target.seek(0)
        response = FileResponse(target, content_type=XLSX)
    else:
        raise Http404("No such form of file.")
    name = f"defects-{listed.today:%Y-%m-%d}.{form}"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _listed(request: HttpRequest) -> Listed:
    person, today = request.user, timezone.localdate()
    looks = looks_of_listed(person)
    filters = DefectFilters(
        request.GET,
        all_visible_defects(person).standing().select_related("pavement__site", "panel"),
        pavements=access.visible_pavements(person),
        at=timezone.now(),
    )
    rows, asked = filters.qs, filters.asked
    if asked.get("severity"):
        rows = of_severity(rows, looks, asked["severity"])
    if asked.get("urgent"):
        rows = urgent_ones(rows, looks)
    if asked.get("overdue"):
        rows = overdue_ones(rows, looks, all_visible_visits(person), today)
    sort = asked.get("sort") or "pavement"
    if sort == "seen":
        rows = with_last_found(rows, looks)
    return Listed(filters, rows.order_by(*ORDERS[sort]), today)


def _seen(person: Person, among: Collection[int] | None = None) -> Seen:
    return Seen(
        looks=all_visible_observations(person, among),
        visits=all_visible_visits(person, among),
        repairs=all_visible_repairs(person),
    )


def _lines(request: HttpRequest, rows: Any, today: date, seen: Seen) -> Any:
    system, found = System(request.user.shown_system), list(rows)
    links = recurring_links(request.user, found)
    came = recurrences_of_rows(links, seen.repairs)
    return lines_of(found, seen.looks, seen.visits, system=system, today=today, came_back=came)
