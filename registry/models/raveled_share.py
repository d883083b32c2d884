"""Which share of a panel was raveled on a day, by one way of grading it."""

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.placing.ways import TYPED


class GradedBy(models.TextChoices):
    """How an outline came about. Shares of different ways stand side by side only."""

    TAPE = "tape", TYPED["tape"]
    PHOTO = "photo", TYPED["photo"]
    EYE = "eye", TYPED["eye"]


class RaveledShareQuerySet(EntryQuerySet):
    """Shares."""

    def of_plan(self) -> "RaveledShareQuerySet":
        """Return shares oldest day first, in the order of the plan as entered."""
        return self.order_by("looked_on", "pk")


class RaveledShare(Entry):
    """Outlined area over area of the panel, 0 to 1, on one day. Names are of that day's plan."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="raveled_shares"
    )
    panel = models.CharField("panel", max_length=12)
    looked_on = models.DateField("date")
    share = models.FloatField("raveled share")
    graded_by = models.CharField("graded by", max_length=5, choices=GradedBy)
    looked_by = models.CharField("by", max_length=160, blank=True)

    objects = RaveledShareQuerySet.as_manager()

    class Meta:
        ordering = ("looked_on", "pk")
        constraints = (
            void_has_reason("raveled_share"),
            models.CheckConstraint(name="raveled_share_0_to_1", condition=Q(share__range=(0, 1))),
            models.UniqueConstraint(
                fields=("pavement", "panel", "looked_on", "graded_by"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="raveled_share_once_a_day",
            ),
        )

    def __str__(self) -> str:
        return f"{self.panel}: {self.share:.0%} raveled"
