"""A notice counted anew by the terms as they stand, by a named person, as a line."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry.access.callbacks import get_callback
from registry.actions.recount_callback import recount_callback
from registry.forms.reason import ReasonForm
from registry.gathering.recount import recount_of
from registry.views.callback import correcting_side
from registry.views.entry import try_action


@require_http_methods(["GET", "POST"])
def callback_recount(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the day stored and the one the terms give now; store the new one with a reason."""
    row = get_callback(request.user, pk, to="settle")
    side = correcting_side(request.user, row)
    if side is None:
        raise PermissionDenied("Only the side that wrote this entry may correct it.")
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = {"why": form.cleaned_data["why"], "organisation": side}
        if try_action(form, recount_callback, row, by=request.user, **given):
            messages.success(request, f"Stored: {row} counts as received on {row.counted_on}.")
            return redirect("callback_page", pk)
    context = {"row": row, "pavement": row.pavement, "form": form, "recount": recount_of(row)}
    return render(request, "callback/recount.html", context)
