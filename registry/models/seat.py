"""Seats: what an organisation is to a pavement, from and to an instant."""

from datetime import datetime

from django.conf import settings
from django.db import models
from django.utils import timezone

from registry.models.choices import Role


class SeatQuerySet(models.QuerySet["Seat"]):
    """Seats by time and holder."""

    def held_at(self, at: datetime) -> "SeatQuerySet":
        """Return seats held at an instant."""
        return self.filter(models.Q(to_at__isnull=True) | models.Q(to_at__gt=at), from_at__lte=at)

    def begun_by(self, at: datetime) -> "SeatQuerySet":
        """Return seats held at an instant or earlier (a former owner keeps a copy).

        A seat that ended in the moment it began never was: a sale that came in late undoes what
        the seller gave out after the hour.
        """
        return self.filter(from_at__lte=at).exclude(to_at=models.F("from_at"))

    def of_organisations(self, organisations: object) -> "SeatQuerySet":
        """Return the seats of these organisations."""
        return self.filter(organisation__in=organisations)


class Seat(models.Model):
    """An organisation's place at a pavement or at one section of it."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="seats"
    )
    section = models.ForeignKey(
        "registry.Section", on_delete=models.PROTECT, null=True, blank=True, related_name="seats"
    )
    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="seats"
    )
    role = models.CharField("role", max_length=14, choices=Role)
    from_at = models.DateTimeField("from")
    to_at = models.DateTimeField("to", null=True, blank=True)
    warranty_last_on = models.DateField("last day of warranty", null=True, blank=True)
    appointed_by = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    source_document = models.CharField("by deed, contract or permit", max_length=200, blank=True)
    entered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    entered_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = SeatQuerySet.as_manager()

    class Meta:
        indexes = (models.Index(fields=("organisation", "role", "pavement")),)
        constraints = (
            models.CheckConstraint(
                condition=models.Q(to_at__isnull=True) | models.Q(to_at__gte=models.F("from_at")),
                name="seat_ends_after_it_begins",
            ),
            models.UniqueConstraint(
                fields=("pavement", "organisation", "role"),
                condition=models.Q(to_at__isnull=True, section__isnull=True),
                name="seat_open_once",
            ),
            models.UniqueConstraint(
                fields=("section", "organisation", "role"),
                condition=models.Q(to_at__isnull=True, section__isnull=False),
                name="seat_at_a_section_open_once",
            ),
        )

    def __str__(self) -> str:
        return f"{self.organisation}, {self.get_role_display()}"

    def is_held_at(self, at: datetime) -> bool:
        """Say whether the seat is held at an instant."""
        return self.from_at <= at and (self.to_at is None or at < self.to_at)

    def has_begun_by(self, at: datetime) -> bool:
        """Say whether the seat is one of `begun_by`: held at an instant or earlier."""
        return self.from_at <= at and self.to_at != self.from_at

    @property
    def is_open(self) -> bool:
        """Say whether the seat has no end yet."""
        return self.to_at is None
