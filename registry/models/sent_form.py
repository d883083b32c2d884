"""A form that came in: so that the same one sent twice makes one record."""

from datetime import timedelta

from django.conf import settings
from django.db import models
from django.utils import timezone

KEPT_FOR = timedelta(days=60)
"""A sheet may come in six weeks late; so may a form that was kept on a phone."""


class SentForm(models.Model):
    """One form as one person sent it, with the page that answered it.

    `key` is a fingerprint (SHA-256, hex) of who sent what to where from which form.
    """

    key = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    sent_at = models.DateTimeField(default=timezone.now, editable=False)
    answered_with = models.CharField(max_length=500, blank=True)

    class Meta:
        ordering = ("sent_at", "pk")
        indexes = (models.Index(fields=("person", "sent_at")),)

    def __str__(self) -> str:
        return f"form of {self.person}"
