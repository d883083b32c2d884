"""Printed sheets: each has a number that finds it again when it comes back."""

from django.conf import settings
from django.db import models
from django.utils import timezone

from registry.models.choices import ReadingSystem


class SheetKind(models.TextChoices):
    """Kinds of printed sheets, with the letters their numbers begin with."""

    INSPECTION = "inspection", "inspection sheet"
    INFILTRATION = "infiltration", "infiltration test sheet"
    SWEEP = "sweep", "sweep work order"
    DOSSIER = "dossier", "callback dossier"
    STATEMENT = "statement", "annual condition statement"
    HANDOVER = "handover", "hand-over certificate"
    LOAD = "load", "load sheet"
    COVER = "cover", "cover walk card"
    DAY = "day", "crew's day sheet"


LETTERS = {
    "inspection": "INS",
    "infiltration": "INF",
    "sweep": "SWP",
    "dossier": "DOS",
    "statement": "STA",
    "handover": "HND",
    "load": "LOD",
    "cover": "COV",
    "day": "DAY",
}


class PrintedSheet(models.Model):
    """A sheet of paper that went out. `number` is INS-0417 and the like, unique for ever."""

    number = models.CharField("sheet number", max_length=20, unique=True)
    kind = models.CharField("kind", max_length=12, choices=SheetKind)
    pavement = models.ForeignKey(
        "registry.Pavement",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="printed_sheets",
    )
    crew = models.ForeignKey(
        "registry.Crew",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="printed_sheets",
        verbose_name="crew, of a day sheet",
    )
    plan = models.ForeignKey(
        "registry.Plan", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    system = models.CharField(max_length=12, choices=ReadingSystem)
    paper = models.CharField(max_length=6, choices={"letter": "Letter", "a4": "A4"})
    pages = models.PositiveSmallIntegerField(default=1)
    content = models.JSONField("what was printed on it", default=dict, blank=True)
    printed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    printed_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("-printed_at", "-pk")

    def __str__(self) -> str:
        return self.number


class SheetCounter(models.Model):
    """The last number given out for each kind of sheet."""

    kind = models.CharField(max_length=12, choices=SheetKind, unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.kind} {self.last}"
