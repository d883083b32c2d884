"""The winter log: plows, deicer and sand, as slips, invoices, drivers and memory tell them.

Where two sources disagree both lines stand, and neither is chosen.
"""

from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class Deicer(models.TextChoices):
    """What melts ice."""

    SODIUM = "sodium", "sodium chloride"
    CALCIUM = "calcium", "calcium chloride"
    MAGNESIUM = "magnesium", "magnesium chloride"
    ACETATE = "acetate", "acetate"
    UREA = "urea", "urea"
    BRINE = "brine", "brine"
    NOT_KNOWN = "nk", "not known"


class WinterEntryQuerySet(EntryQuerySet):
    """Lines of the winter log."""

    def in_order(self) -> "WinterEntryQuerySet":
        """Return lines oldest first."""
        return self.order_by("done_on", "done_at", "pk")


class WinterEntry(Entry):
    """One line. Masses kg. Bags are kept as counted, with the weight of one."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="winter_entries"
    )
    done_on = models.DateField("date")
    done_at = models.DateTimeField("clock", null=True, blank=True)
    done_by = models.CharField("by", max_length=160, blank=True)
    plowed = models.CharField("plowed", max_length=3, choices=Answer, blank=True)
    edge = models.CharField(
        "edge of the plow",
        max_length=6,
        blank=True,
        choices={"steel": "steel", "rubber": "rubber", "poly": "poly"},
    )
    shoes = models.CharField("shoes fitted", max_length=3, choices=Answer, blank=True)
    deicer = models.CharField("deicer", max_length=9, choices=Deicer, blank=True)
    spread_as = models.CharField("spread, as written", max_length=120, blank=True)
    bags = models.FloatField("bags", null=True, blank=True)
    bag_kg = models.FloatField("weight of a bag", null=True, blank=True)
    deicer_kg = models.FloatField("deicer, weight", null=True, blank=True)
    sand_kg = models.FloatField("sand, weight", null=True, blank=True)
    is_about = models.BooleanField("amount estimated", default=False)
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("where, as written", max_length=240, blank=True)
    snow_piled = models.CharField("snow piled", max_length=160, blank=True)
    told_by = models.CharField(
        "told by",
        max_length=8,
        blank=True,
        choices={
            "slip": "slip",
            "invoice": "invoice",
            "driver": "driver",
            "memory": "memory",
        },
    )
    obtained_on = models.DateField("obtained on", null=True, blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)

    objects = WinterEntryQuerySet.as_manager()

    class Meta:
        ordering = ("done_on", "pk")
        verbose_name_plural = "winter entries"
        constraints = (
            void_has_reason("winter_entry"),
            models.CheckConstraint(
                name="winter_entry_amounts_are_not_below_0",
                condition=(Q(bags__isnull=True) | Q(bags__gte=0))
                & (Q(bag_kg__isnull=True) | Q(bag_kg__gte=0))
                & (Q(deicer_kg__isnull=True) | Q(deicer_kg__gte=0))
                & (Q(sand_kg__isnull=True) | Q(sand_kg__gte=0)),
            ),
        )

    def __str__(self) -> str:
        return f"winter log, {self.done_on}"
