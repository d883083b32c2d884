"""Who opens a printed sheet by its number."""

from django.http import Http404
from django.shortcuts import get_object_or_404

from registry.access.holding import sees
from registry.access.people import organisations_of
from registry.models import Person, PrintedSheet


def get_sheet(person: Person, number: str) -> PrintedSheet:
    """Return a printed sheet by its number: of a pavement or crew one sees, or one's own."""
    if "\0" in number:  # PostgreSQL takes no such text, not even to look for it
        raise Http404("No such sheet.")
    rows = PrintedSheet.objects.select_related("pavement__site", "crew")
    sheet = get_object_or_404(rows, number=number)
    if sheet.pavement is not None:
        if not sees(person, sheet.pavement):
            raise Http404("No such pavement.")
    elif sheet.crew is not None:
        get_object_or_404(organisations_of(person), pk=sheet.crew.organisation_id)
    elif sheet.printed_by_id != person.pk:
        raise Http404("No such sheet.")
    return sheet
