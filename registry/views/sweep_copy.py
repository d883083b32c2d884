"""Copy in the sheet of a work order that came back; a second copy is held as a double."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.sheets import get_sheet_and_order
from registry.access.work_orders import (
    acting_for,
    machines_to_choose,
)
from registry.actions.copy_sweep_sheet import SweepRead, copy_sweep_sheet, hold_sweep_double
from registry.forms.sweep_copy import SweepCopyForm
from registry.gathering.order_rows import fetch_order_parts, panels_left
from registry.models import PrintedSheet, SheetCopy, WorkOrder
from registry.views.copied import answer_copied
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.plan_placer import placer_of
from registry.views.title import title_block_of

NO_ORDER = (
    "This sheet names no work order that you may write on. Open the order it was filled in for, "
    "and write down there what was done."
)


@require_http_methods(["GET", "POST"])
def sweep_copy_in(request: HttpRequest, number: str) -> HttpResponse:
    """Type in a sheet in its own order; the first copy says what became of the order."""
    sheet, order = get_sheet_and_order(request.user, number)
    if order is None:
        messages.error(request, NO_ORDER)
        return redirect("sheet_page", number)
    form = _form(request, sheet, order)
    if request.method == "POST":
        copy = _store(request, sheet, order, form)
        if copy is not None:
            return answer_copied(request, copy, "work_order_page", copy.cleaning.work_order_id)
    on = local_today(order.pavement)
    context = {
        "sheet": sheet,
        "order": order,
        "head": title_block_of(request.user, order.pavement, as_of=on),
        "form": form,
        "placer": placer_of(order.pavement, on=on) if "missed" in form.fields else None,
        "first": sheet.copies.filter(is_double=False, cleaning__void_at=None).first(),
    }
    return render(request, "sweep_copy/add.html", context)


def _form(request: HttpRequest, sheet: PrintedSheet, order: WorkOrder) -> SweepCopyForm:
    fetch_order_parts(order)
    left = [panel.pk for panel in panels_left(order)]
    there = order.pavement.panels.standing().filter(exists_to_on__isnull=True)
    asked = there.filter(pk__in=left) if left or not order.covers_all else there
    tests = access.visible_tests(request.user, order.pavement).standing().select_related("spot")
    return SweepCopyForm(
        request.POST or None,
        order=order,
        shows_price=access.may_see_prices(request.user, order),
        machines=machines_to_choose(request.user, order.pavement),
        pavement=order.pavement,
        panels=asked,
        tests=tests,
        offer_all=request.GET.get("tests") == "all",
        today=order.dated_for or local_today(order.pavement),
        system=sheet.system,
    )


def _store(
    request: HttpRequest, sheet: PrintedSheet, order: WorkOrder, form: SweepCopyForm
) -> SheetCopy | None:
    """Store the copy; None where something has to be put right first, which the form says."""
    is_valid = form.is_valid()
    given: dict[str, Any] = {"typed": form.typed(), "by": request.user}
    given["organisation"] = acting_for(request.user, order, "done")
    if given["typed"]:
        double = hold_sweep_double(sheet, **given)
        if double is not None:
            return double
    if not is_valid:
        return None
    read = SweepRead(
        form.event(),
        form.missed_panels(),
        form.cleaned_data["before_tests"],
        form.cleaned_data["after_tests"],
    )
    given |= {"order": order, "read": read}
    found: SheetCopy | None = try_action(form, copy_sweep_sheet, sheet, **given)
    return found
