"""Invitations by link."""

import hashlib

from django.conf import settings
from django.db import models
from django.utils import timezone


def digest_of(token: str) -> str:
    """Return what is stored of an invitation's secret: its SHA-256 in hexadecimal."""
    return hashlib.sha256(token.encode()).hexdigest()


class InvitationQuerySet(models.QuerySet["Invitation"]):
    """Invitations by their state."""

    def open(self, *, at: object) -> "InvitationQuerySet":
        """Return invitations that can still be taken up."""
        return self.filter(accepted_at__isnull=True, withdrawn_at__isnull=True, expires_at__gt=at)


class Invitation(models.Model):
    """A link by which one person joins one organisation, once. Only a digest is stored."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="invitations"
    )
    email = models.EmailField("e-mail of the person invited")
    may_invite = models.BooleanField("may invite others", default=False)
    token_digest = models.CharField(max_length=64, unique=True, editable=False)
    invited_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    expires_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.email} to {self.organisation}"
