"""Who sees crews, machines and places: those who work for the organisation whose they are."""

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from registry.access.people import organisations_of
from registry.models import Crew, Machine, Organisation, Person


def visible_crews(person: Person) -> QuerySet[Crew]:
    """Return the crews of the person's organisations."""
    rows = Crew.objects.filter(organisation__in=organisations_of(person))
    return rows.select_related("organisation", "machine", "depot")


def get_crew(person: Person, pk: int) -> Crew:
    """Return a crew of one of the person's organisations."""
    return get_object_or_404(visible_crews(person), pk=pk)


def visible_machines(person: Person) -> QuerySet[Machine]:
    """Return the machines of the person's organisations."""
    rows = Machine.objects.filter(organisation__in=organisations_of(person))
    return rows.select_related("organisation")


def get_machine(person: Person, pk: int) -> Machine:
    """Return a machine of one of the person's organisations."""
    return get_object_or_404(visible_machines(person), pk=pk)


def crews_of(organisation: Organisation) -> QuerySet[Crew]:
    """Return the crews of an organisation; ask `get_organisation` first."""
    rows: QuerySet[Crew] = organisation.crews.select_related("machine", "depot")
    return rows.order_by("name", "pk")
