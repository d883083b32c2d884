"""Spreadsheets in: choose, look at what was found, store, stop, take back."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from registry import access
from registry.actions.receive_spreadsheet import receive_spreadsheet
from registry.actions.stop_import import stop_import
from registry.actions.take_back_import import take_back_import
from registry.actions.work_on_import import ask_to_store
from registry.faults import DomainError
from registry.forms.import_batch import SpreadsheetForm
from registry.forms.reason import ReasonForm

LISTED = 50
"""Problems, or spreadsheets, on a page."""


@require_http_methods(["GET", "POST"])
def import_page(request: HttpRequest) -> HttpResponse:
    """Choose files to bring in, and see those that came in before."""
    organisations = access.organisations_of(request.user)
    form = SpreadsheetForm(request.POST or None, request.FILES or None, organisations=organisations)
    if request.method == "POST" and form.is_valid():
        try:
            batch = receive_spreadsheet(
                form.cleaned_data["chosen"],
                organisation=form.cleaned_data["organisation"],
                by=request.user,
                time_zone=form.cleaned_data["time_zone"],
            )
        except DomainError as fault:
            form.add_error("chosen", fault.message)
        else:
            return redirect("import_batch_page", batch.pk)
    batches = access.visible_batches(request.user).select_related("organisation", "by")
    page = Paginator(batches, LISTED).get_page(request.GET.get("page"))
    context = {"form": form, "page": page, "may": organisations.exists()}
    return render(request, "import_batch/list.html", context)


@require_GET
def import_batch_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show how far a spreadsheet is, what was found in it and what can be done with it."""
    batch = access.get_batch(request.user, pk)
    context = {
        "batch": batch,
        "faults": Paginator(batch.faults, LISTED).get_page(request.GET.get("faults")),
        "doubts": Paginator(batch.doubts, LISTED).get_page(request.GET.get("page")),
        "unlisted_faults": batch.fault_count - len(batch.faults),
        "unlisted_doubts": batch.doubt_count - len(batch.doubts),
        "take_back_form": ReasonForm(auto_id="back_%s"),
    }
    return render(request, "import_batch/page.html", context)


@require_POST
def import_batch_store(request: HttpRequest, pk: int) -> HttpResponse:
    """Have a spreadsheet stored that was read without a fault."""
    batch = access.get_batch(request.user, pk)
    try:
        ask_to_store(batch)
    except DomainError as fault:
        messages.error(request, fault.message)
    return redirect("import_batch_page", pk)


@require_POST
def import_batch_stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a spreadsheet aside before anything of it is stored."""
    batch = access.get_batch(request.user, pk)
    try:
        stop_import(batch, by=request.user)
    except DomainError as fault:
        messages.error(request, fault.message)
    return redirect("import_batch_page", pk)


@require_POST
def import_batch_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a stored spreadsheet back whole, with a reason."""
    batch = access.get_batch(request.user, pk)
    form = ReasonForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Say why the spreadsheet is taken back.")
        return redirect("import_batch_page", pk)
    try:
        take_back_import(batch, why=form.cleaned_data["why"], by=request.user)
    except DomainError as fault:
        messages.error(request, fault.message)
    else:
        messages.success(request, "Taken back: all its rows are void. It can come in again.")
    return redirect("import_batch_page", pk)
