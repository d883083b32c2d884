"""Dossiers of a callback: those of one's own side, asking for one, its page, stopping it.

Each party reads who had which made and took it away; the files go to the side alone that asked.
"""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry.access.dossiers import (
    get_callback_for_dossier,
    get_dossier,
    side_for_dossier,
    visible_dossier_lines,
    visible_dossiers,
)
from registry.actions.ask_for_dossier import ask_for_dossier
from registry.actions.stop_dossier import stop_dossier
from registry.faults import DomainError
from registry.forms.dossier import DossierForm
from registry.gathering.claim_words import CUTTING, NOT_LIABLE

LISTED = 50
LINES = 200


@require_http_methods(["GET", "POST"])
def dossier_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the dossiers made of a callback for one's own side, and ask for one more."""
    callback = get_callback_for_dossier(request.user, pk)
    side = side_for_dossier(request.user, callback)
    system = callback.pavement.sheet_system
    begun = {
        "system": system,
        "paper": "a4" if system == "si" else "letter",
        "prepared_by": f"{request.user}, {side}",
    }
    form = DossierForm(request.POST or None, initial=begun)
    if request.method == "POST" and form.is_valid():
        row = ask_for_dossier(
            callback=callback, organisation=side, by=request.user, **form.cleaned_data
        )
        return redirect("dossier_page", row.pk)
    rows = visible_dossiers(request.user, callback).select_related("asked_by", "sheet")[:LISTED]
    context = {"callback": callback, "form": form, "rows": rows, "not_liable": NOT_LIABLE}
    context["lines"] = visible_dossier_lines(request.user, callback)[:LINES]
    return render(request, "dossier/list.html", context)


@require_safe
def dossier_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far a dossier is, or its files with their fingerprints."""
    row = get_dossier(request.user, pk)
    context = {"row": row, "not_liable": NOT_LIABLE, "cutting": CUTTING}
    context["lines"] = visible_dossier_lines(request.user, row.callback).about(row)[:LINES]
    return render(request, "dossier/page.html", context)


@require_POST
def dossier_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop the work on a dossier."""
    row = get_dossier(request.user, pk)
    try:
        stop_dossier(row, by=request.user)
    except DomainError as fault:
        messages.error(request, fault.message)
    return redirect("dossier_page", pk)
