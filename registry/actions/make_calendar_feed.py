"""Give out the address of a calendar feed; an older address of the same calendar ends by it."""

import secrets
from dataclasses import dataclass

from django.conf import settings
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import CalendarFeed, Crew, Organisation, Person, digest_of


class CannotMakeFeed(DomainError):
    """A feed of a crew that is void or of another organisation."""


@dataclass(frozen=True)
class IssuedFeed:
    """A new feed and its address. It is shown now or never: only a digest is stored."""

    feed: CalendarFeed
    address: str


@transaction.atomic
def make_calendar_feed(*, organisation: Organisation, crew: Crew | None, by: Person) -> IssuedFeed:
    """Store a feed of an organisation, or of one of its crews, and return its address.

    Raises CannotMakeFeed where the crew is not one that it sends out.
    """
    if crew is not None and (crew.is_void or crew.organisation_id != organisation.pk):
        raise CannotMakeFeed(f"{crew} is no crew of {organisation}.")
    Organisation.objects.select_for_update().get(pk=organisation.pk)  # one address at a time
    older = CalendarFeed.objects.open().filter(organisation=organisation, crew=crew)
    older.update(revoked_at=timezone.now())
    secret = secrets.token_urlsafe(32)
    feed = CalendarFeed.objects.create(
        organisation=organisation, crew=crew, secret_digest=digest_of(secret), made_by=by
    )
    write_line(feed, "made", by=by, organisation=organisation)
    address = settings.PUBLIC_URL + reverse("calendar_feed_file", args=[secret])
    return IssuedFeed(feed, address)
