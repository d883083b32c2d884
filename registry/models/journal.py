"""The journal: one line for every change, never altered."""

from django.apps import apps
from django.conf import settings
from django.core.exceptions import FieldDoesNotExist
from django.db import models
from django.utils import timezone


class JournalLineQuerySet(models.QuerySet["JournalLine"]):
    """Journal lines."""

    def about(self, row: models.Model) -> "JournalLineQuerySet":
        """Return the lines about one row."""
        return self.filter(subject_kind=row._meta.model_name, subject_id=row.pk)

    def corrections(self) -> "JournalLineQuerySet":
        """Return the lines that put something right."""
        return self.filter(verb="corrected")


class JournalLine(models.Model):
    """Who did what to which entry, when and why. `changes` is {field: [old, new]} as written."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, null=True, blank=True, related_name="journal"
    )
    subject_kind = models.CharField(max_length=40)
    subject_id = models.BigIntegerField()
    subject_name = models.CharField(max_length=160, blank=True)
    verb = models.CharField(max_length=24)
    changes = models.JSONField(default=dict, blank=True)
    why = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)

    objects = JournalLineQuerySet.as_manager()

    class Meta:
        ordering = ("-at", "-pk")
        indexes = (
            models.Index(fields=("subject_kind", "subject_id")),
            models.Index(fields=("pavement", "at")),
        )

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d} {self.verb} {self.subject_name}"

    def word_for(self, field: str) -> str:
        """Return what a changed field is called on pages."""
        try:
            model = apps.get_model("registry", self.subject_kind)
            return str(getattr(model._meta.get_field(field), "verbose_name", field))
        except (LookupError, FieldDoesNotExist):
            return field.replace("_", " ")
