"""How the surface was struck off, rolled and finished along a lane."""

from django.db import models
from django.db.models import F, Q

from registry.models.choices import Answer
from registry.models.entry import Entry, void_has_reason


class StrikeOff(Entry):
    """One pass over a lane, from and to in metres up from the datum line."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="strike_offs"
    )
    lane = models.CharField("lane", max_length=8)
    from_m = models.FloatField("from", null=True, blank=True)
    to_m = models.FloatField("to", null=True, blank=True)
    tool = models.CharField("tool", max_length=80)
    passes = models.PositiveSmallIntegerField("passes", null=True, blank=True)
    ended_at = models.DateTimeField("end", null=True, blank=True)
    corners_by_hand = models.CharField("corners by hand", max_length=3, choices=Answer, blank=True)

    class Meta:
        ordering = ("ended_at", "pk")
        constraints = (
            void_has_reason("strike_off"),
            models.CheckConstraint(
                name="strike_off_runs_up",
                condition=Q(from_m__isnull=True) | Q(to_m__isnull=True) | Q(to_m__gt=F("from_m")),
            ),
        )

    def __str__(self) -> str:
        return f"{self.tool}, lane {self.lane}"
