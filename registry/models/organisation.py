"""Organisations and who belongs to them."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from registry.models.choices import ReadingSystem, Role


class Organisation(models.Model):
    """A firm, body or person that owns, keeps, places, tests, sweeps or reviews pavements."""

    name = models.CharField("name", max_length=160, unique=True)
    usual_role = models.CharField("usual role", max_length=14, choices=Role)
    address = models.TextField("address", blank=True)
    email = models.EmailField("e-mail for notices", blank=True)
    system = models.CharField(
        "units on its sheets",
        max_length=12,
        choices=ReadingSystem,
        default=ReadingSystem.INCH_POUND,
    )
    time_zone = models.CharField("local time", max_length=60, default="UTC")
    people: models.ManyToManyField = models.ManyToManyField(
        settings.AUTH_USER_MODEL,
        through="registry.Membership",
        through_fields=("organisation", "person"),
        related_name="organisations",
    )
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


class MembershipQuerySet(models.QuerySet["Membership"]):
    """Who belongs where, and when."""

    def current(self, *, at: object) -> "MembershipQuerySet":
        """Return memberships that hold at an instant."""
        return self.filter(models.Q(to_at__isnull=True) | models.Q(to_at__gt=at), from_at__lte=at)


class Membership(models.Model):
    """A person works for an organisation between two instants. Old entries keep the old firm."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="memberships"
    )
    organisation = models.ForeignKey(
        Organisation, on_delete=models.PROTECT, related_name="memberships"
    )
    may_invite = models.BooleanField("may invite others", default=False)
    from_at = models.DateTimeField(default=timezone.now)
    to_at = models.DateTimeField(null=True, blank=True)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("person", "organisation"),
                condition=models.Q(to_at__isnull=True),
                name="membership_open_once",
            ),
            models.CheckConstraint(
                condition=models.Q(to_at__isnull=True) | models.Q(to_at__gte=models.F("from_at")),
                name="membership_ends_after_it_begins",
            ),
        )

    def __str__(self) -> str:
        return f"{self.person} at {self.organisation}"
