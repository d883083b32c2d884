"""Two corrections of one entry, side by side; a named person chooses, nothing is merged."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry.access.corrections import get_waiting_correction
from registry.actions.keep_correction import choose_correction
from registry.faults import DomainError
from registry.forms.waiting_correction import ChoiceForm
from registry.gathering.two_corrections import two_corrections


@require_http_methods(["GET", "POST"])
def correction_choose(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what stands beside what waits, and keep a person's choice with its reason."""
    waiting = get_waiting_correction(request.user, pk)
    form = ChoiceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "organisation": waiting.by_organisation}
        try:
            choose_correction(waiting, by=request.user, **given)
        except (DomainError, ValidationError) as fault:
            form.add_error(None, str(fault) if isinstance(fault, DomainError) else fault)
        else:
            messages.success(request, "Your choice is kept; both corrections stay readable.")
            return redirect("home")
    context = {"waiting": waiting, "form": form, "both": two_corrections(waiting)}
    return render(request, "waiting_correction/choose.html", context)
