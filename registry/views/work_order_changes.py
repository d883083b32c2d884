"""What becomes of a work order: moved, done, turned away or called off, checked."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.holding import rights_at
from registry.access.work_orders import (
    OF_A_SWEEPER,
    acting_for,
    acting_side,
    crews_to_choose,
    get_work_order,
    machines_to_choose,
)
from registry.actions.call_off_work_order import call_off_work_order
from registry.actions.check_work_order import check_work_order
from registry.actions.do_work_order import do_work_order
from registry.actions.move_work_order import move_work_order
from registry.forms.work_order_done import WorkOrderDoneForm
from registry.forms.work_order_move import CallOffForm, OrderCheckForm, OrderMoveForm
from registry.gathering.order_rows import fetch_order_parts, panels_left
from registry.models import Cleaning, Organisation, WorkOrder
from registry.planning.order_moves import OUTCOMES, STATES, next_states
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.plan_placer import placer_of
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def work_order_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move an order on, or back with a reason."""
    row = get_work_order(request.user, pk, to="work")
    form = _move_form(request, row)
    if request.method == "POST" and form.is_valid():
        given = form.given
        side = acting_for(request.user, row, given["to_state"])
        if try_action(form, move_work_order, row, by=request.user, organisation=side, **given):
            messages.success(request, f"Order {row} is now: {row.get_state_display()}.")
            return redirect("work_order_page", pk)
    return _shown(request, row, "move", form=form)


def _move_form(request: HttpRequest, row: WorkOrder) -> OrderMoveForm:
    """The moves that a person's side may make; what became of the day has forms of its own."""
    is_keeper = acting_side(rights_at(request.user, row.pavement), row, "keep") is not None
    following = [
        state
        for state in next_states(row.state)
        if state not in OUTCOMES and (is_keeper or state in OF_A_SWEEPER)
    ]
    pairs = row.moves.values_list("from_state", "to_state")
    earlier = [state for pair in pairs for state in pair if state and state != row.state]
    today = local_today(row.pavement)
    return OrderMoveForm(
        request.POST or None,
        pavement=row.pavement,
        following=following,
        earlier=[state for state in earlier if is_keeper or state in OF_A_SWEEPER],
        crews=crews_to_choose(request.user, row.pavement),
        initial={
            "on": today,
            "signed_by": request.user.name or str(request.user),
            "to": following[0] if len(following) == 1 else "",
            "dated_for": row.dated_for,
            "crew": row.crew_id,
        },
    )


@require_http_methods(["GET", "POST"])
def work_order_done(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down what was done of an order, by its rows."""
    row = get_work_order(request.user, pk, to="work")
    if request.method == "GET" and _may_not_follow(request, row, "done"):
        return redirect("work_order_page", pk)
    side = _side(request, row)
    form = _done_form(request, row)
    if request.method == "POST" and form.is_valid():
        given: dict[str, Any] = {
            "cleaning": form.entry(),
            "missed": form.missed_panels(),
            "before_tests": form.cleaned_data["before_tests"],
            "after_tests": form.cleaned_data["after_tests"],
        }
        if try_action(form, do_work_order, row, by=request.user, organisation=side, **given):
            said = f"Order {row} is {row.get_state_display()}."
            messages.success(request, said, extra_tags=f"done-{row.pk}")
            return redirect("work_order_page", pk)
    has_rows = "missed" in form.fields
    placer = placer_of(row.pavement, on=local_today(row.pavement)) if has_rows else None
    return _shown(request, row, "done", form=form, placer=placer)


def _done_form(request: HttpRequest, row: WorkOrder) -> WorkOrderDoneForm:
    fetch_order_parts(row)
    today = local_today(row.pavement)
    left = [panel.pk for panel in panels_left(row)]
    there = row.pavement.panels.standing().filter(exists_to_on__isnull=True)
    asked = there.none() if not left and not row.covers_all else there
    tests = access.visible_tests(request.user, row.pavement).standing().select_related("spot")
    return WorkOrderDoneForm(
        request.POST or None,
        order=row,
        machines=machines_to_choose(request.user, row.pavement),
        shows_price=access.may_see_prices(request.user, row),
        pavement=row.pavement,
        panels=asked.filter(pk__in=left) if left else asked,
        tests=tests,
        offer_all=request.GET.get("tests") == "all",
        today=today,
        system=request.user.shown_system,
        initial={
            "done_on": row.dated_for if row.dated_for and row.dated_for <= today else today,
            "operator": request.user.name or str(request.user),
            "passes": row.passes,
            "swept_with": row.crew.machine if row.crew else None,
        },
    )


@require_http_methods(["GET", "POST"])
def work_order_call_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down that an order was turned away or called off."""
    row = get_work_order(request.user, pk, to="work")
    if request.method == "GET" and _may_not_follow(request, row, "called_off"):
        return redirect("work_order_page", pk)
    side = _side(request, row)
    initial = {"on": local_today(row.pavement)}
    form = CallOffForm(request.POST or None, pavement=row.pavement, initial=initial)
    if request.method == "POST" and form.is_valid():
        given = {"by": request.user, "organisation": side, "event": form.event()}
        if try_action(form, call_off_work_order, row, **given):
            messages.success(request, f"Order {row} is {row.get_state_display()}.")
            return redirect("work_order_page", pk)
    return _shown(request, row, "call_off", form=form)


@require_http_methods(["GET", "POST"])
def work_order_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Check what was done: accepted, or to redo, with the tests after it."""
    row = get_work_order(request.user, pk, to="keep")
    is_new = row.state != "checked"
    if request.method == "GET" and is_new and _may_not_follow(request, row, "checked"):
        return redirect("work_order_page", pk)
    newest = row.cleanings.done().in_order().last()
    form = _check_form(request, row, newest)
    if request.method == "POST" and form.is_valid():
        side = acting_for(request.user, row, "checked")
        given = {"by": request.user, "organisation": side, **form.cleaned_data}
        if try_action(form, check_work_order, row, **given):
            messages.success(request, f"Order {row} is {row.get_state_display()}.")
            return redirect("work_order_page", pk)
    return _shown(request, row, "check", form=form, newest=newest)


def _check_form(request: HttpRequest, row: WorkOrder, newest: Cleaning | None) -> OrderCheckForm:
    tests = access.visible_tests(request.user, row.pavement).standing().select_related("spot")
    since = tests.filter(started_on__gte=newest.done_on) if newest else tests.none()
    return OrderCheckForm(
        request.POST or None,
        tests=since.order_by("started_on", "spot__name", "pk"),
        system=request.user.shown_system,
        initial={
            "on": local_today(row.pavement),
            "checked_by": request.user.name or str(request.user),
        },
    )


def _may_not_follow(request: HttpRequest, row: WorkOrder, state: str) -> bool:
    """Say so where an order cannot become this now: its form would only be filled in vain."""
    if not row.is_void and state in next_states(row.state):
        return False
    now = "void" if row.is_void else row.get_state_display()
    before = ", ".join(STATES[code] for code in STATES if state in next_states(code))
    said = f"Order {row} is {now}. Only an order that is {before} becomes “{STATES[state]}”."
    messages.error(request, said)
    return True


def _side(request: HttpRequest, row: WorkOrder) -> Organisation:
    return acting_for(request.user, row, "done")


def _shown(request: HttpRequest, row: WorkOrder, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, row.pavement, as_of=local_today(row.pavement))
    context = {"row": row, "pavement": row.pavement, "head": head, **more}
    return render(request, f"work_order/{name}.html", context)
