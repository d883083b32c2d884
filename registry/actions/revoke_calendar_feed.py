"""Take back the address of a calendar feed."""

from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import CalendarFeed, Person


class CannotRevokeFeed(DomainError):
    """The address was taken back before."""


@transaction.atomic
def revoke_calendar_feed(*, feed: CalendarFeed, by: Person) -> CalendarFeed:
    """Make the address useless."""
    rows = CalendarFeed.objects.open().filter(pk=feed.pk)
    if not rows.update(revoked_at=timezone.now()):
        raise CannotRevokeFeed("This address was taken back before.")
    feed.refresh_from_db()
    write_line(feed, "taken back", by=by, organisation=feed.organisation)
    return feed
