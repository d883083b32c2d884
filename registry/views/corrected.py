"""What a page says once a correction is stored."""

from django.contrib import messages
from django.http import HttpRequest

from registry.models.entry import Entry


def tell_corrected(request: HttpRequest, row: Entry) -> None:
    """Say that a correction is stored, so that the device forgets what was typed for it."""
    told = "The correction is stored as a line; the old stays readable."
    messages.success(request, told, extra_tags=row.name_of_correction)
