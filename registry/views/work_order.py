"""Work orders: ask for one, look at it, correct, void."""

from functools import partial
from typing import Any

from django.contrib import messages
from django.db.models import Case, Q, When
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.holding import rights_at
from registry.access.work_orders import (
    acting_side,
    dump_places_to_choose,
    get_work_order,
    sweepers_of,
    water_points_to_choose,
)
from registry.actions.ask_for_work_order import ask_for_work_order
from registry.actions.correct_entry import correct_entry
from registry.actions.void_work_order import void_work_order
from registry.drawing.plan_picture import plan_picture
from registry.drawing.svg import to_svg
from registry.faults import DomainError
from registry.forms.reason import ReasonForm
from registry.forms.work_order import WorkOrderCorrectForm, WorkOrderForm
from registry.gathering.call_off_next import next_after_call_off
from registry.gathering.checked_order import DoneEvent, done_event
from registry.gathering.gains import days_by_spot, gains_among
from registry.gathering.layouts import find_layout
from registry.gathering.order_notice import notice_trouble
from registry.gathering.order_picture import read_rows, swept_areas
from registry.gathering.order_rows import (
    area_of_panels_m2,
    area_to_do_m2,
    fetch_order_parts,
    ordered_panels,
    panels_left,
    spots_of,
    swept_parts,
)
from registry.models import Pavement, WorkOrder
from registry.models.cleaning import with_parts
from registry.planning.called_off import CalledOff
from registry.planning.words import NotDecided
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.plan_placer import placer_of
from registry.views.title import title_block_of

PICTURE_MM = (90.0, 130.0)  # as narrow as a telephone is held, so that its letters stay large
SUGGESTED = (
    "method", "reason", "because", "earliest_on", "earliest_why", "latest_on", "latest_why",
    "passes", "rows_text", "covers_all",
)  # fmt: skip
"""What a link to the form may fill in beforehand, by its address."""


@require_http_methods(["GET", "POST"])
def work_order_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a work order."""
    pavement = access.get_pavement(request.user, pk, to="order_cleaning")
    organisation = access.acting_organisation(request.user, pavement, "order_cleaning")
    there = pavement.panels.standing().filter(exists_to_on__isnull=True)
    form = WorkOrderForm(
        request.POST or None,
        there=there,
        spots=pavement.spots.standing().filter(ended_on__isnull=True),
        read_rows=partial(read_rows, panels=there),
        initial=_suggested(request, pavement),
        **_choices(request, pavement),
    )
    if request.method == "POST" and form.is_valid():
        given = {"by": request.user, "organisation": organisation, **form.extras()}
        row = try_action(form, ask_for_work_order, form.entry(), **given)
        if row is not None:
            messages.success(request, f"Stored: order {row}.", extra_tags=f"order-{pavement.pk}")
            return redirect("work_order_page", row.pk)
    context: dict[str, Any] = {"pavement": pavement, "head": _head(request, pavement), "form": form}
    context["placer"] = placer_of(pavement, on=local_today(pavement)) if form.has_panels else None
    return render(request, "work_order/add.html", context)


def _suggested(request: HttpRequest, pavement: Pavement) -> dict[str, Any]:
    asked: dict[str, Any] = {name: request.GET[name] for name in SUGGESTED if request.GET.get(name)}
    if "covers_all" in asked:
        asked["covers_all"] = asked["covers_all"] not in ("no", "0", "false")
    who = {"asked_by": request.user.name or str(request.user), "asked_on": local_today(pavement)}
    return {**who, **asked}


def _choices(request: HttpRequest, pavement: Pavement) -> dict[str, Any]:
    return {
        "parent": pavement,
        "system": request.user.shown_system,
        "sweepers": sweepers_of(pavement, rights_at(request.user, pavement)),
        "dump_places": dump_places_to_choose(request.user, pavement),
        "water_points": water_points_to_choose(request.user, pavement),
    }


@require_safe
def work_order_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show an order: what is to do, where it stands, what was done and whether it worked."""
    row = get_work_order(request.user, pk)
    fetch_order_parts(row)
    before_spots, after_spots = spots_of(row)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": _head(request, row.pavement),
        "plan": _plan(row, System(request.user.shown_system)),
        "panels": ordered_panels(row),
        **_to_do(row),
        "before_spots": before_spots,
        "after_spots": after_spots,
        "moves": row.moves.select_related("by", "by_organisation", "cleaning", "crew"),
        "events": _events(request, row),
        "shows_price": access.may_see_prices(request.user, row),
        "shows_tests": access.viewpoint_of(request.user, row.pavement) is not None,
        "lines": access.visible_lines_about(request.user, row),
        "after": _after(request, row),
        "notice": notice_trouble(row),
        **_may(request, row),
    }
    return render(request, "work_order/page.html", context)


def _to_do(row: WorkOrder) -> dict[str, Any]:
    left = panels_left(row)
    return {"left": left, "left_m2": area_of_panels_m2(left), "area_m2": area_to_do_m2(row)}


def _may(request: HttpRequest, row: WorkOrder) -> dict[str, bool]:
    rights = rights_at(request.user, row.pavement)
    return {
        f"may_{what}": not row.is_void and acting_side(rights, row, what) is not None
        for what in ("keep", "work")
    }


def _after(request: HttpRequest, row: WorkOrder) -> CalledOff | NotDecided | None:
    """Return what follows from an order called off or turned away."""
    tests = access.visible_tests(request.user, row.pavement).standing()
    return next_after_call_off(row, today=local_today(row.pavement), tests=tests)


def _events(request: HttpRequest, row: WorkOrder) -> list[DoneEvent]:
    """Return what became of the order, each with its gain at the spots where one can be given.

    The pavement's other restorative cleanings come by the same question: they part the gains.
    """
    rows = _cleanings_of(request, row)
    events = [event for event in rows if event.is_of_order]
    done = [event for event in events if event.is_cleaning]
    if not done:
        return [DoneEvent(event) for event in events]
    others = [event for event in rows if event.is_cleaning and event.is_restorative]
    tests = access.visible_tests(request.user, row.pavement).standing()
    days = days_by_spot(tests.select_related("spot", "pavement__site"))
    viewpoint = access.viewpoint_of(request.user, row.pavement)
    standing = row.pavement.standings.filter(viewpoint=viewpoint).first()
    level = standing.action_rate_mm_h if standing else None
    given = {"action_mm_h": level, "is_only": len(done) == 1}
    swept = [
        (one, [part for part in swept_parts(row) if part.cleaning_id == one.pk]) for one in events
    ]
    return [
        done_event(row, one, gains_among(one, days, others), parts=parts, **given)
        for one, parts in swept
    ]


def _cleanings_of(request: HttpRequest, row: WorkOrder) -> list[Any]:
    """Return the events of an order that one sees, and the pavement's restorative cleanings."""
    of_order = Q(work_order=row)
    if not access.reads_all(request.user, row.pavement):
        seen = access.visible_cleanings(request.user, row.pavement)
        of_order &= Q(pk__in=seen.values("pk"))
    rows = row.pavement.cleanings.standing().in_order()
    rows = rows.annotate(is_of_order=Case(When(of_order, then=True), default=False))
    return list(with_parts(rows.filter(Q(is_of_order=True) | Q(is_restorative=True))))


def _plan(row: WorkOrder, system: System) -> SafeString | None:
    found = find_layout(row.pavement)
    layout = found.layout
    if layout is None:
        return mark_safe(f"<p>{escape(found.trouble)}</p>") if found.trouble else None
    on = local_today(row.pavement)
    try:
        drawing = plan_picture(
            layout, on=on, size_mm=PICTURE_MM, system=system, swept=swept_areas(row, layout, on)
        )
    except DomainError as fault:
        return mark_safe(f"<p>{escape(fault.message)}</p>")
    return mark_safe(to_svg(drawing, id_prefix="plan"))  # our own drawing, its words escaped


@require_http_methods(["GET", "POST"])
def work_order_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct what an order says, by a correction line."""
    row = get_work_order(request.user, pk, to="keep")
    form = WorkOrderCorrectForm(
        request.POST or None,
        instance=row,
        shows_price=access.may_see_prices(request.user, row),
        **_choices(request, row.pavement),
    )
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        side = access.acting_organisation(request.user, row.pavement, "order_cleaning")
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(form, correct_entry, row, by=request.user, organisation=side, **given):
            tell_corrected(request, row)
            return redirect("work_order_page", pk)
    context = {"row": row, "pavement": row.pavement, "form": form, "reason": reason}
    context["head"] = _head(request, row.pavement)
    return render(request, "work_order/correct.html", context)


@require_POST
def work_order_void(request: HttpRequest, pk: int) -> HttpResponse:
    """Void an order that was never meant, with a reason."""
    row = get_work_order(request.user, pk, to="keep")
    form = ReasonForm(request.POST)
    side = access.acting_organisation(request.user, row.pavement, "order_cleaning")
    if form.is_valid():
        why = form.cleaned_data["why"]
        if try_action(form, void_work_order, row, why=why, by=request.user, organisation=side):
            messages.success(request, "The order is void; it stays readable.")
    for faults in form.errors.values():
        messages.error(request, f"Not void: {' '.join(str(fault) for fault in faults)}")
    return redirect("work_order_page", pk)


def _head(request: HttpRequest, pavement: Pavement) -> Any:
    return title_block_of(request.user, pavement, as_of=local_today(pavement))
