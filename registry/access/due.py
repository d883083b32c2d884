"""What is due at pavements: for who reads all tests and cleanings there, as the outlook is.

Its words name readings and days of cleanings, so nobody sees it who does not read them all. What a
cleaning costs is worked out with the prices of one's own side alone.
"""

from collections.abc import Collection

from django.db.models import Exists, JSONField, OuterRef, QuerySet, Subquery
from django.db.models.functions import JSONObject
from django.utils import timezone

from registry.access.holding import pavements_held_as, rights_at, seats_of
from registry.access.work_orders import visible_work_orders
from registry.models import METHOD_CLASSES, Due, Organisation, Pavement, Person, Price
from registry.models.due import DueQuerySet
from registry.models.price import PriceQuerySet
from registry.models.rights import KEEPERS, MAY, READERS_OF_ALL, Rights


def seen_dues(person: Person) -> DueQuerySet:
    """Return what is due where a person's organisations read all, one line a pavement."""
    held = pavements_held_as(person, READERS_OF_ALL)
    return Due.objects.filter(pavement__in=held.order_by().values("pk"))


def kept_dues(person: Person) -> DueQuerySet:
    """Return what is due at the pavements that the person's organisations own or manage.

    Seats are looked up pavement by pavement: quickest for the first few by their latest day.
    """
    seats = seats_of(person).held_at(timezone.now()).filter(role__in=KEEPERS)
    return Due.objects.filter(Exists(seats.filter(pavement=OuterRef("pavement"))))


def find_due(person: Person, pavement: Pavement) -> Due | None:
    """Return what is due at a pavement to who reads all its tests; else None.

    With it comes, by the same query, `open_order` (the newest open order that the person sees) and
    `price_<class of method>` of the side through which the person pays: dictionaries, or None.
    """
    rights = rights_at(person, pavement)
    if not rights.roles & READERS_OF_ALL:
        return None
    orders = visible_work_orders(person, pavement).open().order_by("-pk")
    rows = Due.objects.filter(pavement=pavement).annotate(
        open_order=_first(orders, "pk", "number", "state"), **_prices_by_class(rights)
    )
    return rows.first()


def _prices_by_class(rights: Rights) -> dict[str, Subquery]:
    """Return a column for each class of method with the price that holds there today."""
    payer = rights.organisation_for("order_cleaning")
    prices = prices_of([payer] if payer else []).on(rights.today).order_by("-from_on", "-pk")
    return {
        f"price_{name}": _first(
            prices.filter(method_class=name), "method_class", "per_m2", "at_least", "currency"
        )
        for name in METHOD_CLASSES
    }


def _first(rows: QuerySet, *columns: str) -> Subquery:
    """Return the first of some rows as one column, a dictionary."""
    plain = JSONObject(**{name: name for name in columns})
    return Subquery(rows.values(plain=plain)[:1], output_field=JSONField())


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


def prices_of(payers: Collection[Organisation]) -> PriceQuerySet:
    """Return what organisations pay for cleaning; ask `payers_at` first."""
    rows: PriceQuerySet = Price.objects.filter(organisation__in=payers).standing()
    return rows.in_order()
