"""Who chooses between two corrections of one entry: the side that wrote the entry."""

from django.db import models
from django.http import Http404

from registry.access.people import organisations_of
from registry.models import Person, WaitingCorrection
from registry.models.waiting_correction import WaitingCorrectionQuerySet


def waiting_corrections(person: Person) -> WaitingCorrectionQuerySet:
    """Return the corrections that wait for a choice of the person's side, oldest first."""
    rows = WaitingCorrection.objects.undecided()
    return rows.filter(by_organisation__in=organisations_of(person)).select_related(
        "by", "by_organisation", "pavement"
    )


def waiting_about(person: Person, row: models.Model) -> WaitingCorrectionQuerySet:
    """Return those of one entry."""
    return waiting_corrections(person).about(row)


def get_waiting_correction(person: Person, pk: int) -> WaitingCorrection:
    """Return a correction of the person's side, decided ones included."""
    rows = WaitingCorrection.objects.select_related("by", "by_organisation", "decided_by")
    own = rows.filter(by_organisation__in=organisations_of(person), pk=pk)
    row = own.select_related("pavement__site").first()
    if row is None:
        raise Http404("No such correction.")
    return row
