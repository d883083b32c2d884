"""What a person changes of a round: an order's day, locks, days called off, days taken over."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_POST

from registry.access.rounds import crews_of_round, get_round
from registry.actions.call_off_round_day import call_off_round_day
from registry.actions.change_round import lock_days, move_order, pin_order, solve_again
from registry.actions.take_over_round import TakenOver, take_over_round
from registry.faults import DomainError
from registry.forms.round import RoundCallOffForm, RoundOrderForm, RoundTakeOverForm
from registry.gathering.round_week import first_day_to_take, order_in_round
from registry.models import Person, Round, WorkOrder


@require_http_methods(["GET", "POST"])
def round_order(request: HttpRequest, pk: int, order: int) -> HttpResponse:
    """Move an order to another day or crew, pin it, or set it free."""
    row = get_round(request.user, pk)
    found = order_in_round(row, order)
    initial = {"on": found.on, "crew": found.crew}
    form = RoundOrderForm(request.POST or None, row=row, crews=crews_of_round(row), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            changed = _change(row, found.order, form, request.user)
        except DomainError as fault:
            form.add_error(None, fault.message)
        else:
            return redirect(_page(changed, form.cleaned_data["on"] or found.on))
    context = {"row": row, "found": found, "form": form}
    return render(request, "round/order.html", context, status=200)


def _change(row: Round, order: WorkOrder, form: RoundOrderForm, by: Person) -> Round:
    """Do what was chosen, and return the round to show."""
    what, on, crew = (form.cleaned_data[name] for name in ("what", "on", "crew"))
    if what == "move":
        return move_order(row, order, on=on, crew=crew, by=by)
    if what == "free":
        on = crew = None
    pin_order(row, order, on=on, crew=crew, by=by)
    return row


def _page(row: Round, on: object) -> str:
    """Return the address of the week of a round in which a day lies."""
    query = f"?{urlencode({'week': on})}" if on else ""
    return reverse("round_page", args=(row.pk,)) + query


@require_POST
def round_lock(request: HttpRequest, pk: int, day: int) -> HttpResponse:
    """Lock a crew-day as it stands, or set it free."""
    row = get_round(request.user, pk)
    found = get_object_or_404(row.crew_days, pk=day)
    try:
        lock_days(row, [found], locked=request.POST.get("locked") == "1", by=request.user)
    except DomainError as fault:
        messages.error(request, fault.message)
    return redirect(_page(row, found.on))


@require_POST
def round_solve_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Solve a round again around what is pinned and locked."""
    row = get_round(request.user, pk)
    try:
        row = solve_again(row, by=request.user)
    except DomainError as fault:
        messages.error(request, fault.message)
    return redirect("round_page", row.pk)


@require_http_methods(["GET", "POST"])
def round_call_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Call a day off and plan the rest anew."""
    row = get_round(request.user, pk)
    crews = crews_of_round(row)
    form = RoundCallOffForm(request.POST or None, row=row, crews=crews)
    if request.method == "POST" and form.is_valid():
        try:
            new = call_off_round_day(row, by=request.user, **form.cleaned_data)
        except DomainError as fault:
            form.add_error(None, fault.message)
        else:
            return redirect("round_page", new.pk)
    return render(request, "round/call_off.html", {"row": row, "form": form})


@require_http_methods(["GET", "POST"])
def round_take_over(request: HttpRequest, pk: int) -> HttpResponse:
    """Take days of a round over: its orders are dated."""
    row = get_round(request.user, pk)
    initial = {"first_on": first_day_to_take(row, at=timezone.now()), "last_on": row.last_on}
    form = RoundTakeOverForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            taken = take_over_round(row, by=request.user, **form.cleaned_data)
        except DomainError as fault:
            form.add_error(None, fault.message)
        else:
            _say(request, taken)
            return redirect(_page(row, form.cleaned_data["first_on"]))
    return render(request, "round/take_over.html", {"row": row, "form": form})


def _say(request: HttpRequest, taken: TakenOver) -> None:
    days = "crew-day" if taken.days == 1 else "crew-days"
    orders = "order" if taken.orders == 1 else "orders"
    messages.success(request, f"Taken over: {taken.days} {days} with {taken.orders} {orders}.")
    if taken.still_dated:
        named = ", ".join(str(order) for order in taken.still_dated[:10])
        messages.warning(
            request, f"Dated for one of these days, and not on it in this round: {named}."
        )
