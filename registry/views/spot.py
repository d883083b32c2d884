"""Spots: fixed points placed and ended, random spots drawn and skipped."""

import secrets
from functools import partial
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.actions.draw_spots import draw_spots, skip_spot
from registry.actions.end_spot import end_spot
from registry.actions.place_spot import correct_spot, place_spot
from registry.faults import DomainError
from registry.forms.reason import ReasonForm
from registry.forms.spot import DrawForm, EndSpotForm, SkipSpotForm, SpotForm
from registry.gathering.drawing_ground import DrawingGround, drawing_ground
from registry.gathering.layouts import find_layout, layout_of
from registry.gathering.placing import lonlat_of, no_position_of
from registry.models import Organisation, Pavement, Spot
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.parents import known_until_left
from registry.views.pavement import local_today
from registry.views.title import title_block_of

A_PAGE = 200
SEEDS = 2**53
"""A seed is a whole number below this: every program that draws again holds it exactly."""


@require_http_methods(["GET"])
def spot_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the spots of a pavement, where they are, and its draws."""
    pavement = access.get_pavement(request.user, pk)
    found = find_layout(pavement, system=request.user.shown_system)
    known = partial(known_until_left, request.user, pavement)
    spots = known(pavement.spots.standing()).select_related("panel", "draw")
    page = Paginator(spots.order_by("-is_fixed", "pk"), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=local_today(pavement)),
        "page": page,
        "spots": [(spot, lonlat_of(found.layout, spot.right_m, spot.up_m)) for spot in page],
        "no_position": found.trouble or no_position_of(found.layout),
        "draws": known(pavement.draws.standing()).annotate(spot_count=Count("spots")),
        "may_add": access.may(request.user, pavement, "record_test"),
        "may_edit": access.may(request.user, pavement, "edit"),
    }
    return render(request, "spot/list.html", context)


@require_http_methods(["GET", "POST"])
def spot_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Place a fixed point by its place as crews write it."""
    pavement, organisation = _door(request, pk, "record_test")
    form = SpotForm(request.POST or None, parent=pavement, system=pavement.sheet_system)
    if request.method == "POST" and form.is_valid():
        given = {"system": form.chosen_system, "today": local_today(pavement)}
        row = try_action(
            form, place_spot, form.entry(), by=request.user, organisation=organisation, **given
        )
        if row is not None:
            told = f"{row} stands at {row.place or 'a place not known'}."
            messages.success(request, told, extra_tags=f"spot-{pk}")
            return redirect("spot_list", pk)
    return render(request, "spot/add.html", {"pavement": pavement, "form": form})


def _door(request: HttpRequest, pk: int, right: str) -> tuple[Pavement, Organisation]:
    pavement = access.get_pavement(request.user, pk, to=right)
    return pavement, access.acting_organisation(request.user, pavement, right)


def _spot(pavement: Pavement, row: int) -> Spot:
    return get_object_or_404(pavement.spots.standing().select_related("draw"), pk=row)


@require_http_methods(["GET", "POST"])
def spot_correct(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Correct name, stratum or place of a spot by a line."""
    pavement, organisation = _door(request, pk, "edit")
    spot = _spot(pavement, row)
    form = SpotForm(
        request.POST or None, instance=spot, parent=pavement, system=pavement.sheet_system
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given: dict[str, Any] = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        given |= {"system": form.chosen_system, "today": local_today(pavement)}
        if try_action(
            form, correct_spot, spot, by=request.user, organisation=organisation, **given
        ):
            tell_corrected(request, spot)
            return redirect("spot_list", pk)
    lines = access.visible_lines_about(request.user, spot)
    context = {"pavement": pavement, "spot": spot, "form": form, "reason": reason, "lines": lines}
    return render(request, "spot/correct.html", context)


@require_http_methods(["GET", "POST"])
def spot_end(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """End a spot; its record stays."""
    pavement, organisation = _door(request, pk, "edit")
    spot, form = _spot(pavement, row), EndSpotForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "by": request.user, "organisation": organisation}
        if try_action(form, end_spot, spot, **given):
            messages.success(request, f"{spot} has ended.")
            return redirect("spot_list", pk)
    return render(request, "spot/end.html", {"pavement": pavement, "spot": spot, "form": form})


@require_http_methods(["GET", "POST"])
def spot_draw_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Draw random spots by strata, before going."""
    pavement, organisation = _door(request, pk, "record_test")
    today, ground, why_not = local_today(pavement), None, ""
    try:
        ground = drawing_ground(pavement, layout_of(pavement), on=today)
    except DomainError as fault:
        why_not = fault.message
    form = _draw_form(request, pavement, ground) if ground else None
    if request.method == "POST" and form is not None and form.is_valid():
        given: dict[str, Any] = {
            "counts": form.counts,
            "in_the_way": dict(form.cleaned_data["in_the_way"]),
        }
        given |= {"seed": secrets.randbelow(SEEDS), "today": today, "by": request.user}
        row = try_action(form, draw_spots, pavement, organisation=organisation, **given)
        if row is not None:
            return redirect("spot_draw_page", pk, row.pk)
    context = {"pavement": pavement, "form": form, "ground": ground, "why_not": why_not}
    return render(request, "spot/draw_add.html", context)


def _draw_form(request: HttpRequest, pavement: Pavement, ground: DrawingGround) -> DrawForm:
    return DrawForm(
        request.POST or None,
        system=pavement.sheet_system,
        least={stratum.value: count for stratum, count in ground.least.items()},
        proposed={stratum.value: count for stratum, count in ground.proposed.items()},
        required=ground.required,
    )


@require_http_methods(["GET"])
def spot_draw_page(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Show a draw with its seed and every number, so that anybody can draw it again."""
    pavement = access.get_pavement(request.user, pk)
    draws = known_until_left(request.user, pavement, pavement.draws.standing())
    draw = get_object_or_404(draws, pk=row)
    spots = {(s.stratum, s.draw_order): s for s in draw.spots.order_by("pk")}
    told = draw.result["spots"]
    context = {
        "pavement": pavement,
        "draw": draw,
        "taken": [(spots.get((t["stratum"], t["order"])), t) for t in told],
        "skipped": draw.result["skipped"],
        "may_skip": access.may(request.user, pavement, "record_test"),
    }
    return render(request, "spot/draw.html", context)


@require_http_methods(["GET", "POST"])
def spot_skip(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Skip a drawn spot with its reason; the next spare of its stratum takes its place."""
    pavement, organisation = _door(request, pk, "record_test")
    spot, form = _spot(pavement, row), SkipSpotForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "by": request.user, "organisation": organisation}
        if (new := try_action(form, skip_spot, spot, **given)) is not None:
            messages.success(request, f"{spot} is skipped; {new} at {new.place} takes its place.")
            return redirect("spot_draw_page", pk, new.draw_id)
    return render(request, "spot/skip.html", {"pavement": pavement, "spot": spot, "form": form})
