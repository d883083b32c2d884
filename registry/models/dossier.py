"""Callback dossiers: asked for, made in the background, never changed after."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from registry.models.choices import ReadingSystem
from registry.models.printed_sheet import LETTERS


class DossierState(models.TextChoices):
    """How far a dossier is."""

    WAITING = "waiting", "waiting for the worker"
    WORKING = "working", "being put together"
    MADE = "made", "made"
    STOPPED = "stopped", "stopped"
    REFUSED = "refused", "not made"


UNDER_WAY = (DossierState.WAITING, DossierState.WORKING)


class DossierQuerySet(models.QuerySet["Dossier"]):
    """Dossiers."""

    def under_way(self) -> "DossierQuerySet":
        """Return those that wait for the worker or are being put together."""
        return self.filter(state__in=UNDER_WAY)


class Dossier(models.Model):
    """One dossier of a callback, as one side was allowed to see the record on the day.

    `for_organisation` is the side it was made for; none where whoever runs the record printed it.
    Its files lie below the media folder under the fingerprints kept here. A later one is a new row.
    """

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="dossiers"
    )
    for_organisation = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="dossiers",
        verbose_name="made for",
    )
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    asked_at = models.DateTimeField("asked for", default=timezone.now, editable=False)
    system = models.CharField("units", max_length=12, choices=ReadingSystem)
    paper = models.CharField(
        "paper", max_length=6, default="letter", choices={"letter": "Letter", "a4": "A4"}
    )
    prepared_by = models.CharField("prepared by", max_length=160, blank=True)
    state = models.CharField(
        "state", max_length=8, choices=DossierState, default=DossierState.WAITING, editable=False
    )
    stage = models.CharField("what is being done", max_length=80, blank=True)
    steps_done = models.PositiveIntegerField(default=0)
    steps = models.PositiveIntegerField(default=0)
    stop_asked = models.BooleanField(default=False)
    begun = models.PositiveSmallIntegerField("times begun", default=0)
    worked_at = models.DateTimeField("last sign of work on it", null=True, blank=True)
    why = models.CharField("why not made", max_length=500, blank=True)
    made_at = models.DateTimeField("made", null=True, blank=True)
    sheet = models.ForeignKey(
        "registry.PrintedSheet", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    pages = models.PositiveSmallIntegerField("pages", null=True, blank=True)
    figures = models.PositiveIntegerField("figures", null=True, blank=True)
    photos = models.PositiveIntegerField("photos", null=True, blank=True)
    photos_left_out = models.PositiveIntegerField("originals left out", null=True, blank=True)
    pdf_sha256 = models.CharField("SHA-256 of the PDF", max_length=64, blank=True)
    pdf_bytes = models.PositiveBigIntegerField(null=True, blank=True)
    archive_sha256 = models.CharField("SHA-256 of the archive", max_length=64, blank=True)
    archive_bytes = models.PositiveBigIntegerField(null=True, blank=True)

    objects = DossierQuerySet.as_manager()

    class Meta:
        ordering = ("-pk",)
        constraints = (
            models.CheckConstraint(
                name="dossier_made_has_its_files",
                condition=~Q(state="made")
                | (Q(made_at__isnull=False) & ~Q(pdf_sha256="") & ~Q(archive_sha256="")),
            ),
            models.CheckConstraint(
                name="dossier_refused_says_why", condition=~Q(state="refused") | ~Q(why="")
            ),
        )

    def __str__(self) -> str:
        return f"dossier {self.number}"

    @property
    def number(self) -> str:
        """Return its sheet number: that of its row, known before it is drawn."""
        return f"{LETTERS['dossier']}-{self.pk:04}"

    @property
    def is_under_way(self) -> bool:
        """Say whether work on it has not ended."""
        return self.state in UNDER_WAY
