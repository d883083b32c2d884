"""Pavements in a list and on a map, narrowed and sorted."""

from dataclasses import dataclass
from datetime import datetime

from django.core.paginator import Page, Paginator
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone

from registry import access
from registry.forms.filters import PavementFilters
from registry.models import Outlook, Pavement, PavementStanding, Person

A_PAGE = 50


@dataclass(frozen=True)
class PavementRow:
    """A line of the list.

    `standing` is None where the person's seat reads no tests, `outlook` where it does not read
    all of them or none was worked out.
    """

    pavement: Pavement
    standing: PavementStanding | None
    outlook: Outlook | None
    is_hidden: bool
    is_overdue: bool
    is_sweep_due: bool
    is_stale: bool
    may_edit: bool


def pavement_list(request: HttpRequest) -> HttpResponse:
    """Show the pavements the person may see."""
    return render(request, "pavement/list.html", _listed(request))


def pavement_map(request: HttpRequest) -> HttpResponse:
    """Show the same pavements on a map, and in a list beside it."""
    return render(request, "pavement/map.html", _listed(request))


def pavement_points(request: HttpRequest) -> JsonResponse:
    """Answer rows [id, lon, lat, word, name] of the pavements that have a position."""
    filters = _filters(request, access.open_roles(request.user))
    words = dict(filters.standings.values_list("pavement", "word"))
    points = list(filters.qs.with_points().values_list("pk", "map_lon", "map_lat", "name"))
    rows = [
        [pk, lon, lat, words.get(pk, ""), name]
        for pk, lon, lat, name in points
        if lon is not None and lat is not None
    ]
    return JsonResponse({"rows": rows, "without_position": len(points) - len(rows)})


def _filters(request: HttpRequest, roles: frozenset[str]) -> PavementFilters:
    return PavementFilters(
        request.GET,
        access.all_visible_pavements(request.user).filter(double_of=None),
        standings=access.seen_standings(request.user, roles),
        outlooks=access.seen_outlooks(request.user),
        person=request.user,
        at=timezone.now(),
    )


def _listed(request: HttpRequest) -> dict[str, object]:
    roles = access.open_roles(request.user)
    filters = _filters(request, roles)
    page = Paginator(filters.ids(), A_PAGE).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    count = page.paginator.count
    return {
        "form": filters.form,
        "narrowed_by": filters.narrowed_by,
        "rows": _rows(request.user, roles, page, filters.at),
        "page": page,
        "query": f"{query.urlencode()}&" if query else "",
        "cells": [
            ("found" if filters.narrowed_by else "in all", f"{count} pavement{'s'[: count != 1]}"),
            ("as of", f"{timezone.localdate():%Y-%m-%d}"),
        ],
    }


def _rows(person: Person, roles: frozenset[str], page: Page, at: datetime) -> list[PavementRow]:
    """Return the lines of one page; everything is asked for these few pavements alone."""
    ids = list(page.object_list)
    shown = access.with_condition_hidden_where_due(
        person, access.visible_pavements(person).filter(pk__in=ids)
    )
    pavements = {p.pk: p for p in shown.with_owner(at).for_list()}
    standings = {s.pavement_id: s for s in access.seen_standings(person, roles, ids)}
    outlooks = {o.pavement_id: o for o in access.seen_outlooks(person, ids).for_list()}
    kept = access.pavements_held_as(person, access.MAY["edit"], ids).order_by()
    edited = set(kept.values_list("pk", flat=True))
    return [
        _row(pavements[pk], standings.get(pk), outlooks.get(pk), may_edit=pk in edited)
        for pk in ids
        if pk in pavements
    ]


def _row(
    pavement: Pavement,
    standing: PavementStanding | None,
    outlook: Outlook | None,
    *,
    may_edit: bool,
) -> PavementRow:
    today = timezone.localdate()
    due = standing.next_test_due_on if standing else None
    sweep_by = outlook.sweep_by_on if outlook else None
    changes = standing.changes_on if standing else None
    return PavementRow(
        pavement=pavement,
        standing=standing,
        outlook=outlook,
        is_hidden=not getattr(pavement, "may_see_condition", False),
        is_overdue=due is not None and due < today,
        is_sweep_due=sweep_by is not None and sweep_by <= today,
        is_stale=changes is not None and changes <= today,
        may_edit=may_edit,
    )
