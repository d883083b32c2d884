"""Who sees and changes a pour plan: its contractor, and the owner's side once it was shown."""

from django.core.exceptions import PermissionDenied
from django.db.models import Q
from django.http import Http404

from registry.access.holding import rights_at, sees
from registry.models import Organisation, Pavement, Person, PourPlan
from registry.models.pour_plan import PourPlanQuerySet
from registry.models.rights import READERS_OF_ALL


def visible_pour_plans(person: Person, pavement: Pavement) -> PourPlanQuerySet:
    """Return the pour plans of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    shown = Q(entered_for__in=rights.organisations)
    if rights.roles & READERS_OF_ALL:
        shown |= Q(shown_on__isnull=False)
    return PourPlan.objects.filter(shown, pavement=pavement)


def get_pour_plan(person: Person, pk: int, *, to: str = "read") -> PourPlan:
    """Return a pour plan; `to="write"` asks that the person's side made it and places here."""
    row = PourPlan.objects.select_related("pavement__site").filter(pk=pk).first()
    if row is None or not sees(person, row.pavement):
        raise Http404("No such pour plan.")
    if not visible_pour_plans(person, row.pavement).filter(pk=pk).exists():
        raise Http404("No such pour plan.")
    if to != "read":
        planning_side(person, row)
    return row


def planning_side(person: Person, row: PourPlan) -> Organisation:
    """Return the contractor for whom a person changes a plan of their own."""
    side = rights_at(person, row.pavement).organisation_for("record_placing")
    if side is None or row.entered_for_id != side.pk:
        raise PermissionDenied("Only the side that made this plan may change it.")
    return side
