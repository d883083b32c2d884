"""Pools: which pavements are fitted together, by which fit; setting one up, joining, leaving."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.actions.join_pool import join_pool
from registry.actions.run_pool import add_pool, leave_pool
from registry.forms.pool import JoinForm, PoolForm
from registry.forms.reason import EndForm
from registry.views.entry import try_action
from registry.views.pavement import local_today

A_PAGE = 50
FITS_SHOWN = 20


@require_safe
def pool_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a pool to who runs it: the fit in force, earlier ones, and its pavements."""
    pool = access.get_pool(request.user, pk)
    outlooks = access.seen_outlooks(request.user).filter(fit__pool=pool).with_pavement()
    page = Paginator(outlooks.soonest_first(), A_PAGE).get_page(request.GET.get("page"))
    joined = access.visible_places(request.user, pool).order_by("-from_on", "pk")
    places = Paginator(joined, A_PAGE).get_page(request.GET.get("joined"))
    context = {
        "pool": pool,
        "current": pool.fits.current().first(),
        "fits": pool.fits.defer("covariance", "drivers", "recoveries")[:FITS_SHOWN],
        "page": page,
        "page_query": f"joined={places.number}&",
        "places": places,
        "places_query": f"page={page.number}&",
        "cells": [("pavements with an outlook of it", f"{page.paginator.count}")],
    }
    return render(request, "pool/page.html", context)


@require_http_methods(["GET", "POST"])
def pool_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the pools of an organisation, and set up one that others' pavements may join."""
    organisation = access.get_organisation(request.user, pk)
    form = PoolForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        pool = try_action(
            form, _set_up, form.cleaned_data["name"], by=request.user, organisation=organisation
        )
        if pool is not None:
            messages.success(request, f"Stored: pool {pool}.")
            return redirect("pool_page", pk=pool.pk)
    pools = access.visible_pools(request.user).filter(organisation=organisation)
    context = {"organisation": organisation, "form": form, "pools": pools}
    return render(request, "pool/list.html", context)


def _set_up(name: str, **given: object) -> object:
    return add_pool(name=name, **given)


@require_http_methods(["GET", "POST"])
def pool_join(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a pavement join a pool that one's organisation runs, by a consent or permit."""
    pavement = access.get_pavement(request.user, pk)
    pools = access.pools_to_join(request.user, pavement)
    form = JoinForm(request.POST or None, pools=pools, today=local_today(pavement))
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        runs_it = given["pool"].organisation
        place = try_action(
            form, join_pool, pavement, by=request.user, organisation=runs_it, **given
        )
        if place is not None:
            messages.success(request, f"Stored: in {place.pool} from {place.from_on:%Y-%m-%d}.")
            return redirect("outlook_page", pk=pavement.pk)
    context = {"pavement": pavement, "form": form, "press": "Join", "title": "Join a pool"}
    return render(request, "pool/change.html", context)


@require_http_methods(["GET", "POST"])
def pool_leave(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a pavement leave the pool it joined, with the reason."""
    pavement = access.get_pavement(request.user, pk)
    place, organisation = access.get_place_to_end(request.user, pavement)
    form = EndForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        left = try_action(
            form, leave_pool, place, by=request.user, organisation=organisation, **given
        )
        if left is not None:
            messages.success(request, f"Stored: out of {place.pool} on {given['on']:%Y-%m-%d}.")
            return redirect("outlook_page", pk=pavement.pk)
    context = {"pavement": pavement, "form": form, "press": "Leave", "title": f"Leave {place.pool}"}
    return render(request, "pool/change.html", context)
