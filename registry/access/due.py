"""What is due at pavements: for who reads all tests and cleanings there, as the outlook is.

Its words name readings and days of cleanings, so nobody sees it who does not read them all. What a
cleaning costs is worked out with the prices of one's own side alone.
"""

from collections.abc import Collection

from django.utils import timezone

from registry.access.holding import pavements_held_as, rights_at, seats_of
from registry.models import Due, Organisation, Pavement, Person, Price
from registry.models.due import DueQuerySet
from registry.models.entry import DatedQuerySet
from registry.models.rights import KEEPERS, MAY, READERS_OF_ALL


def seen_dues(person: Person) -> DueQuerySet:
    """Return what is due where a person's organisations read all, one line a pavement."""
    held = pavements_held_as(person, READERS_OF_ALL)
    return Due.objects.filter(pavement__in=held.order_by().values("pk"))


def kept_dues(person: Person) -> DueQuerySet:
    """Return what is due at the pavements that the person's organisations own or manage."""
    held = pavements_held_as(person, KEEPERS)
    return Due.objects.filter(pavement__in=held.order_by().values("pk"))


def find_due(person: Person, pavement: Pavement) -> Due | None:
    """Return what is due at a pavement to who reads all its tests; else None."""
    if not rights_at(person, pavement).roles & READERS_OF_ALL:
        return None
    return Due.objects.select_related("fit__pool").filter(pavement=pavement).first()


def payers_at(person: Person, among: Collection[int]) -> dict[int, Organisation]:
    """Return through which organisation of theirs a person orders and pays cleaning, by pavement.

    Where there is none for a pavement, no order may be asked for there and no price is shown.
    """
    held = pavements_held_as(person, MAY["order_cleaning"], among)
    seats = (
        seats_of(person)
        .held_at(timezone.now())
        .filter(pavement__in=held.order_by().values("pk"), role__in=MAY["order_cleaning"])
    )
    rows = seats.select_related("organisation").order_by("-pk")
    return {seat.pavement_id: seat.organisation for seat in rows}


def prices_of(payers: Collection[Organisation]) -> DatedQuerySet:
    """Return what organisations pay for cleaning; ask `payers_at` first."""
    rows: DatedQuerySet = Price.objects.filter(organisation__in=payers).standing()
    return rows.order_by("from_on", "pk")
