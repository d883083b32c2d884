"""Blemishes of the fresh surface, and what was done about them on the spot."""

from django.db import models

from registry.models.entry import Entry, void_has_reason


class Blemish(Entry):
    """A blemish seen on the placing day. `place` is as on the plan, a panel at least."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="blemishes"
    )
    kind = models.CharField(
        "kind",
        max_length=12,
        choices={
            "drip": "drip spot",
            "sealed": "sealed spot",
            "footprint": "footprint",
            "drag": "drag",
            "roller": "roller mark",
            "cold_line": "cold line",
            "stone": "stone pulled",
        },
    )
    place = models.CharField("place", max_length=80, blank=True)
    seen_at = models.DateTimeField("clock", null=True, blank=True)
    fixed = models.CharField(
        "fixed",
        max_length=8,
        blank=True,
        choices={"at_once": "at once", "left": "left as it is"},
    )
    fixed_how = models.CharField("how", max_length=160, blank=True)
    fixed_by = models.CharField("by", max_length=120, blank=True)

    class Meta:
        ordering = ("seen_at", "pk")
        constraints = (void_has_reason("blemish"),)

    def __str__(self) -> str:
        return str(self.get_kind_display())
