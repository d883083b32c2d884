"""Who sees and changes rounds: those who work for the organisation whose crews they are.

Owners and managers see on their orders what was taken over; the round itself tells of others too.
"""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from registry.access.people import organisations_of
from registry.models import Crew, Person, Round
from registry.models.round import RoundQuerySet


def visible_rounds(person: Person) -> RoundQuerySet:
    """Return the rounds of the person's organisations."""
    return Round.objects.filter(organisation__in=organisations_of(person))


def get_round(person: Person, pk: int) -> Round:
    """Return a round of one of the person's organisations."""
    rows = visible_rounds(person).select_related("organisation", "asked_by", "made_from", "travel")
    return get_object_or_404(rows.defer("travel__rows"), pk=pk)


def crews_of_round(row: Round) -> QuerySet[Crew]:
    """Return the crews that a round may be given to; ask `get_round` first."""
    rows: QuerySet[Crew] = Crew.objects.standing().filter(organisation=row.organisation_id)
    return rows.select_related("machine", "depot").order_by("name", "pk")
