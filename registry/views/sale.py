"""The sale of a pavement, and its split in two."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.defects import visible_defects
from registry.access.work_orders import visible_work_orders
from registry.actions.sell_pavement import END_WITH_OWNER, Decision, Deed, sell_pavement
from registry.actions.split_pavement import Part, split_pavement
from registry.faults import DomainError
from registry.forms.sale import SaleForm
from registry.forms.split import SplitForm
from registry.gathering.open_items import open_items, tests_of
from registry.gathering.shared_defects import open_defects
from registry.gathering.shared_ground import share_ground
from registry.models import Pavement
from registry.views.pavement import local_today


@require_http_methods(["GET", "POST"])
def pavement_sell(request: HttpRequest, pk: int) -> HttpResponse:
    """Enter a sale; every open item is named in the form."""
    pavement = access.get_pavement(request.user, pk, to="sell")
    seats = access.visible_seats(request.user, pavement)
    given = [s for s in seats if s.role in END_WITH_OWNER and s.is_open]
    items = open_items(pavement)
    tests = access.visible_tests(request.user, pavement)
    if not tests_of(items) <= set(tests.values_list("pk", flat=True)):
        return render(request, "sale/closed.html", {"pavement": pavement})
    form = SaleForm(request.POST or None, pavement=pavement, seats=given, items=items)
    if form.is_valid():
        try:
            return _sold(request, pavement, form)
        except DomainError as refusal:
            form.add_error(None, refusal.message)
    context = {
        "pavement": pavement,
        "form": form,
        "pairs": [(form[f"{item.key}-what"], form[f"{item.key}-who"]) for item in items],
        "orders": visible_work_orders(request.user, pavement).open().order_by("number"),
        "organisations": access.known_organisations(request.user),
    }
    return render(request, "sale/sell.html", context)


def _sold(request: HttpRequest, pavement: Pavement, form: SaleForm) -> HttpResponse:
    cleaned = form.cleaned_data
    sell_pavement(
        pavement=pavement,
        deed=Deed(cleaned["found"], cleaned["at"], cleaned["document"]),
        kept=form.kept_ids(),
        decisions={key: Decision(*decided) for key, decided in form.decided().items()},
        by=request.user,
        organisation=access.acting_organisation(request.user, pavement, "sell"),
    )
    messages.success(request, f"{cleaned['found']} owns it from that hour.")
    return redirect("seat_list", pk=pavement.pk)


@require_http_methods(["GET", "POST"])
def pavement_split(request: HttpRequest, pk: int) -> HttpResponse:
    """Split a pavement in two: its panels are shared out, and what was noted open on them."""
    pavement = access.get_pavement(request.user, pk, to="split")
    form = SplitForm(
        request.POST or None,
        pavement=pavement,
        system=request.user.shown_system,
        defects=open_defects(pavement, local_today(pavement)),
    )
    asked = {known.row.pk for known in form.asked}
    if not asked <= set(visible_defects(request.user, pavement).values_list("pk", flat=True)):
        return render(request, "sale/split_closed.html", {"pavement": pavement})
    if form.is_valid():
        try:
            return _split(request, pavement, form)
        except DomainError as refusal:
            form.add_error(None, refusal.message)
    return render(request, "sale/split.html", {"pavement": pavement, "form": form})


def _split(request: HttpRequest, pavement: Pavement, form: SplitForm) -> HttpResponse:
    on, parts = form.cleaned_data["on"], tuple(Part(*share) for share in form.shares())
    made = split_pavement(
        pavement=pavement,
        parts=parts,
        on=on,
        why=form.cleaned_data["why"],
        by=request.user,
        organisation=access.acting_organisation(request.user, pavement, "split"),
        defects=form.decided(),
    )
    messages.success(request, f"Made: {made[0]} and {made[1]}. Neither is decided yet.")
    left = share_ground(pavement, (parts[0].panel_ids, parts[1].panel_ids), on).stays
    if left:
        said = "; ".join(left)
        messages.warning(request, f"Stays with the whole, to be begun anew at its part: {said}.")
    return redirect("seat_list", pk=made[0].pk)
