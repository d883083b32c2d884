"""Moves of a state: dated, signed, never changed. A way back is a new line that says why."""

from collections.abc import Mapping
from typing import ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone


class SignedMove(models.Model):
    """One move of something whose states are a table. `words` are the labels of its states."""

    words: ClassVar[Mapping[str, str]] = {}

    from_state = models.CharField(max_length=20, blank=True)
    to_state = models.CharField(max_length=20)
    is_back = models.BooleanField("back to an earlier state", default=False)
    why = models.CharField("because", max_length=300, blank=True)
    on = models.DateField("date")
    signed_by = models.CharField("signed", max_length=160, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    by_organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        abstract = True
        ordering = ("at", "pk")

    def __str__(self) -> str:
        return self.to_word

    @property
    def to_word(self) -> str:
        """Return the label of the state it led to."""
        return self.words[self.to_state]

    @property
    def from_word(self) -> str:
        """Return the label of the state it came from, empty for the first."""
        return self.words[self.from_state] if self.from_state else ""


def move_back_says_why(name: str) -> models.CheckConstraint:
    """Return the constraint that a move back gives its reason."""
    return models.CheckConstraint(
        name=f"{name}_move_back_says_why", condition=Q(is_back=False) | ~Q(why="")
    )
