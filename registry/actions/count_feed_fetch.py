"""Count that a calendar feed was fetched, and hold who fetches too often."""

from datetime import datetime, timedelta

from django.db.models import F, Q

from registry.models import CalendarFeed

WINDOW = timedelta(hours=1)
MOST = 120
"""Fetches of one address in an hour. Programs ask once in 15 minutes or less often, so that this
serves some thirty of them."""


def count_feed_fetch(feed: CalendarFeed, *, at: datetime) -> bool:
    """Store the fetch and return True; or False where there were too many in the last hour.

    Conditional updates: of two fetches at once each counts.
    """
    row = CalendarFeed.objects.filter(pk=feed.pk)
    begun = row.filter(window_at__gt=at - WINDOW)
    if begun.filter(fetches__lt=MOST).update(fetches=F("fetches") + 1, last_fetched_at=at):
        return True
    over = row.filter(Q(window_at__isnull=True) | Q(window_at__lte=at - WINDOW))
    return bool(over.update(window_at=at, fetches=1, last_fetched_at=at))
