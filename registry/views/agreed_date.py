"""A new date that one side says was agreed: the other side reads and confirms it."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from registry.access.callbacks import acting_side, get_callback
from registry.access.holding import rights_at
from registry.actions.confirm_agreed_date import confirm_agreed_date
from registry.forms.callback import ConfirmDateForm
from registry.views.entry import try_action


@require_http_methods(["GET", "POST"])
def agreed_date_confirm(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Show the date, who said it and why; store the signature of the other side."""
    callback = get_callback(request.user, pk, to="settle")
    found = get_object_or_404(callback.agreed_dates.standing(), pk=row)
    side = acting_side(rights_at(request.user, callback.pavement), callback, "settle")
    if not callback.is_other_side(found.entered_for_id, side):
        raise PermissionDenied("The side that said this date does not confirm it; the other does.")
    form = ConfirmDateForm(request.POST or None, initial={"due_on": found.due_on})
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "organisation": side}
        if try_action(form, confirm_agreed_date, found, by=request.user, **given):
            messages.success(request, f"Confirmed: {found}. The clock follows it.")
            return redirect("callback_page", pk)
    context = {"row": callback, "pavement": callback.pavement, "form": form, "date": found}
    return render(request, "callback/confirm_date.html", context)
