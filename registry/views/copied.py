"""What a person is told who copied a sheet in, and where they go on."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from registry.models import SheetCopy


def answer_copied(request: HttpRequest, copy: SheetCopy, page: str, pk: int) -> HttpResponse:
    """Lead to what the first copy made, or to the double with its differences."""
    kept = f"sheet-{copy.sheet.number}"
    if copy.is_double:
        said = f"{copy.sheet} was copied in already; yours is held as a double."
        messages.success(request, said, extra_tags=kept)
        return redirect("sheet_copy_page", copy.sheet.number, copy.pk)
    messages.success(request, f"{copy.sheet} is copied in.", extra_tags=kept)
    return redirect(page, pk)
