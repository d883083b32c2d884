"""The rows and spots of a stored order, put right."""

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.work_orders import get_work_order
from registry.actions.correct_order_rows import correct_order_rows
from registry.forms.work_order_rows import WorkOrderRowsForm
from registry.gathering.order_picture import read_rows
from registry.gathering.order_rows import fetch_order_parts, rows_in_words
from registry.models import WorkOrder
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.plan_placer import placer_of
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def work_order_rows(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct the rows and spots of an order, by a line."""
    row = get_work_order(request.user, pk, to="keep")
    fetch_order_parts(row)
    form = _form(request, row)
    if request.method == "POST" and form.is_valid():
        side = access.acting_organisation(request.user, row.pavement, "order_cleaning")
        given = {name: form.cleaned_data[name] for name in ("covers_all", "rows_text", "why")}
        given |= {**form.extras(), "stands": form.stands, "organisation": side}
        if try_action(form, correct_order_rows, row, by=request.user, **given):
            messages.success(request, "The rows are stored, with a line of what they were.")
            return redirect("work_order_page", pk)
    today = local_today(row.pavement)
    context = {
        "row": row,
        "pavement": row.pavement,
        "head": title_block_of(request.user, row.pavement, as_of=today),
        "form": form,
        "placer": placer_of(row.pavement, on=today) if form.has_panels else None,
    }
    return render(request, "work_order/rows.html", context)


def _form(request: HttpRequest, row: WorkOrder) -> WorkOrderRowsForm:
    there = row.pavement.panels.standing().filter(exists_to_on__isnull=True)
    return WorkOrderRowsForm(
        request.POST or None,
        order=row,
        stands=rows_in_words(row),
        there=there,
        spots=row.pavement.spots.standing().filter(ended_on__isnull=True),
        read_rows=partial(read_rows, panels=there),
    )
