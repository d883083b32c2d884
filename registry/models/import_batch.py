"""Spreadsheets brought in: each as one batch that can be taken back whole."""

from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.utils import timezone

SILENT_AFTER = timedelta(minutes=2)
"""A batch nobody has worked on for so long is taken to have lost its worker."""


class BatchState(models.TextChoices):
    """States of a batch."""

    WAITING = "waiting", "waiting"
    READING = "reading", "being read"
    CHECKED = "checked", "read, nothing stored yet"
    REFUSED = "refused", "read, cannot be stored as it is"
    STORED = "stored", "stored"
    STOPPED = "stopped", "stopped before anything was stored"
    TAKEN_BACK = "taken_back", "taken back"


class ImportBatch(models.Model):
    """One upload or folder. `digest` is the SHA-256 over its files, so the same comes in once."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="import_batches"
    )
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    file_name = models.CharField("file", max_length=200)
    stored_file = models.CharField(max_length=300, blank=True)
    digest = models.CharField(max_length=64)
    state = models.CharField(max_length=10, choices=BatchState, default=BatchState.WAITING)
    rows_read = models.PositiveIntegerField(default=0)
    rows_total = models.PositiveIntegerField(null=True, blank=True)
    time_zone = models.CharField("local time of new sites", max_length=60, blank=True)
    store_asked = models.BooleanField(default=False)
    worked_at = models.DateTimeField("last sign of work on it", null=True, blank=True)
    begun = models.PositiveSmallIntegerField("times its reading or storing was begun", default=0)
    counts = models.JSONField("rows stored, by kind", default=dict, blank=True)
    known = models.JSONField("rows the record held already, by kind", default=dict, blank=True)
    notes = models.JSONField("what else was done with it, in words", default=list, blank=True)
    fault_count = models.PositiveIntegerField(default=0)
    doubt_count = models.PositiveIntegerField(default=0)
    faults = models.JSONField(
        "what stands in the way: [{file, row, column, message, mend}]", default=list, blank=True
    )
    doubts = models.JSONField("what was asked, same form", default=list, blank=True)
    stop_asked = models.BooleanField(default=False)
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    stored_at = models.DateTimeField(null=True, blank=True)
    taken_back_at = models.DateTimeField(null=True, blank=True)
    taken_back_why = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ("-created_at",)
        constraints = (
            models.UniqueConstraint(
                fields=("organisation", "digest"),
                condition=models.Q(state="stored"),
                name="batch_stored_once",
            ),
        )

    def __str__(self) -> str:
        return self.file_name

    @property
    def document_name(self) -> str:
        """Return what stands as the source document of what came in with it."""
        return f"spreadsheet {self.file_name}"[:200]

    @property
    def is_open(self) -> bool:
        """Say whether somebody works on it, or should."""
        return self.state in (BatchState.WAITING, BatchState.READING) or self.store_asked

    @property
    def worked_on_until(self) -> datetime:
        """Return the last sign of work on it, else when it came in."""
        return self.worked_at or self.created_at

    @property
    def is_silent(self) -> bool:
        """Say whether somebody should work on it and nobody seems to."""
        return self.is_open and self.worked_on_until < timezone.now() - SILENT_AFTER

    @property
    def can_be_stored(self) -> bool:
        """Say whether it waits for a person's yes."""
        return self.state == BatchState.CHECKED and not self.fault_count and not self.store_asked
