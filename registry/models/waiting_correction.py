"""A correction that came in after another of the same entry: kept, not applied, to be chosen."""

from django.conf import settings
from django.db import models
from django.utils import timezone


class WaitingCorrectionQuerySet(models.QuerySet["WaitingCorrection"]):
    """Corrections that wait or waited."""

    def undecided(self) -> "WaitingCorrectionQuerySet":
        """Return those nobody has decided on."""
        return self.filter(decided_at__isnull=True)

    def about(self, row: models.Model) -> "WaitingCorrectionQuerySet":
        """Return those of one entry."""
        return self.filter(subject_kind=row._meta.model_name, subject_id=row.pk)


class WaitingCorrection(models.Model):
    """The second of two corrections made apart. Nothing is merged: a named person chooses.

    `seen` is what its writer had before their eyes; `changes` is, by field, the value wanted
    (plain), its text as written and its kind of empty; `lines` is (as it stands, as wanted).
    """

    class Choice(models.TextChoices):
        STANDING = "standing", "the correction that stands"
        WAITING = "waiting", "the correction that waited"

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    subject_kind = models.CharField(max_length=40)
    subject_id = models.PositiveBigIntegerField()
    subject_name = models.CharField(max_length=160)
    seen = models.JSONField(default=dict, blank=True)
    changes = models.JSONField()
    lines = models.JSONField()
    why = models.CharField("because", max_length=300)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)
    choice = models.CharField("chosen", max_length=8, choices=Choice, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = WaitingCorrectionQuerySet.as_manager()

    class Meta:
        ordering = ("at", "pk")
        indexes = (models.Index(fields=("subject_kind", "subject_id")),)
        constraints = (
            models.CheckConstraint(
                name="waiting_correction_decided_says_what",
                condition=models.Q(decided_at__isnull=True, choice="")
                | (models.Q(decided_at__isnull=False) & ~models.Q(choice="")),
            ),
        )

    def __str__(self) -> str:
        return f"second correction of {self.subject_name}"
