"""Calendars that other programs subscribe to, by an address with a secret."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone


class CalendarFeedQuerySet(models.QuerySet["CalendarFeed"]):
    """Calendar feeds."""

    def open(self) -> "CalendarFeedQuerySet":
        """Return feeds whose address was not taken back."""
        return self.filter(revoked_at__isnull=True)


class CalendarFeed(models.Model):
    """The calendar of an organisation, or of one of its crews, for whoever has its address.

    Only a digest of the secret is stored. It shows what the organisation sees on the day it is
    fetched, as long as `made_by` works there. `window_at` and `fetches` count what was fetched
    lately.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="calendar_feeds"
    )
    crew = models.ForeignKey(
        "registry.Crew",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="calendar_feeds",
        verbose_name="crew",
    )
    secret_digest = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    revoked_at = models.DateTimeField("taken back", null=True, blank=True)
    last_fetched_at = models.DateTimeField("last fetched", null=True, blank=True)
    window_at = models.DateTimeField(null=True, blank=True, editable=False)
    fetches = models.PositiveIntegerField(default=0, editable=False)

    objects = CalendarFeedQuerySet.as_manager()

    class Meta:
        ordering = ("-made_at", "-pk")
        constraints = (
            models.UniqueConstraint(
                fields=("organisation",),
                condition=Q(revoked_at__isnull=True, crew__isnull=True),
                name="calendar_feed_open_once_an_organisation",
            ),
            models.UniqueConstraint(
                fields=("crew",),
                condition=Q(revoked_at__isnull=True, crew__isnull=False),
                name="calendar_feed_open_once_a_crew",
            ),
        )

    def __str__(self) -> str:
        return f"calendar of {self.crew or self.organisation}"
