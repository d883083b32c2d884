"""What stands on a calendar: for a person, and for the organisation whose feed is fetched.

Both by the seats held now. A feed has nobody behind it who signs in: it shows what its organisation
sees at that instant, and nothing once its maker works there no more.
"""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from registry.access.crews import visible_crews
from registry.access.holding import pavements_held_as
from registry.access.people import organisations_of
from registry.access.work_orders import all_visible_work_orders
from registry.models import (
    HAVE_A_PLAN,
    CalendarFeed,
    Crew,
    Membership,
    Organisation,
    Pavement,
    Person,
    Round,
    Seat,
    WorkOrder,
    digest_of,
)
from registry.models.choices import Role
from registry.models.rights import KEEPERS, MAY, READERS_OF_ALL
from registry.models.work_order import WorkOrderQuerySet


@dataclass(frozen=True)
class CalendarRows:
    """What may stand on a calendar, not yet fetched.

    orders  work orders, void ones too;  kept  pavements one owns or manages;  crews  one's own
    """

    orders: WorkOrderQuerySet
    kept: QuerySet[Pavement]
    crews: QuerySet[Crew]


def calendar_rows(person: Person) -> CalendarRows:
    """Return what a person may see on a calendar."""
    kept = pavements_held_as(person, KEEPERS)
    return CalendarRows(all_visible_work_orders(person), kept, visible_crews(person))


def owners_seen(person: Person) -> QuerySet[Organisation]:
    """Return the organisations that own, now, pavements the person sees."""
    pavements = pavements_held_as(person, MAY["read"]).values("pk")
    owners = Seat.objects.held_at(timezone.now()).filter(role=Role.OWNER, pavement__in=pavements)
    return Organisation.objects.filter(pk__in=owners.values("organisation")).order_by("name", "pk")


def owned_by(owner_id: int) -> QuerySet[Seat]:
    """Return the seats by which an organisation owns pavements now; narrow seen rows by them."""
    held = Seat.objects.held_at(timezone.now())
    return held.filter(role=Role.OWNER, organisation=owner_id)


def get_round_written_out(person: Person, pk: int) -> Round:
    """Return a round of one of the person's organisations that has days to write out."""
    rows = Round.objects.filter(organisation__in=organisations_of(person), state__in=HAVE_A_PLAN)
    return get_object_or_404(rows, pk=pk)


def visible_feeds(person: Person, organisation: Organisation) -> QuerySet[CalendarFeed]:
    """Return the feeds of an organisation the person belongs to, those taken back too."""
    rows = CalendarFeed.objects.filter(organisation=organisation)
    own = rows.filter(organisation__in=organisations_of(person))
    return own.select_related("crew", "made_by", "organisation")


def get_feed(person: Person, pk: int) -> CalendarFeed:
    """Return a feed of one of the person's organisations."""
    rows = CalendarFeed.objects.filter(organisation__in=organisations_of(person))
    return get_object_or_404(rows.select_related("crew", "organisation"), pk=pk)


def find_feed(secret: str) -> CalendarFeed:
    """Return the feed of an address, to whoever holds the address; 404 where there is none now."""
    rows = CalendarFeed.objects.open().select_related("organisation", "crew", "made_by")
    row = rows.filter(secret_digest=digest_of(secret)).first()
    if row is None:
        raise Http404("No such calendar.")
    return row


def feed_rows(feed: CalendarFeed, at: datetime) -> CalendarRows | None:
    """Return what the organisation of a feed may see at an instant; of its crew, where it has one.

    None where the maker of the feed works there no more, may not sign in, or the crew is void: then
    it shows nothing.
    """
    own = feed.organisation
    members = Membership.objects.current(at=at).filter(
        organisation=own, person=feed.made_by_id, person__is_active=True
    )
    if not members.exists() or (feed.crew is not None and feed.crew.is_void):
        return None
    seats = Seat.objects.held_at(at).filter(organisation=own)
    orders, kept = _orders_of(own, seats), _held(seats, KEEPERS)
    crews = Crew.objects.filter(organisation=own)
    if feed.crew is not None:
        orders, kept = orders.filter(crew=feed.crew), kept.none()
        crews = crews.filter(pk=feed.crew.pk)
    return CalendarRows(orders, kept, crews)


def _orders_of(own: Organisation, seats: QuerySet[Seat]) -> WorkOrderQuerySet:
    """Return what `all_visible_work_orders` gives whoever works for this organisation alone."""
    readers, reviewed = _held(seats, READERS_OF_ALL), _held(seats, {Role.MUNICIPALITY})
    sides = Q(organisation=own) | Q(sweeper=own) | Q(entered_for=own)
    shown = Q(pavement__in=readers.values("pk"))
    shown |= Q(pavement__in=reviewed.values("pk"), submitted_on__isnull=False)
    held = _held(seats, MAY["read"])
    return WorkOrder.objects.filter(shown | (sides & Q(pavement__in=held.values("pk"))))


def _held(seats: QuerySet[Seat], roles: frozenset[str] | set[str]) -> QuerySet[Pavement]:
    rows = Pavement.objects.counted_once().filter(void_at=None)
    return rows.filter(pk__in=seats.filter(role__in=roles).values("pavement"))
