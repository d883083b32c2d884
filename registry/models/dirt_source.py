"""Surroundings that bring dirt."""

from django.db import models

from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class DirtSourceQuerySet(EntryQuerySet):
    """Sources of dirt."""

    def open(self) -> "DirtSourceQuerySet":
        """Return sources that nobody has stopped."""
        return self.standing().filter(stopped_on__isnull=True)


class DirtSource(Entry):
    """Something beside a pavement that brings dirt onto it."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="dirt_sources"
    )
    kind = models.CharField(
        "source",
        max_length=14,
        choices={
            "tree": "tree",
            "bed": "bed above",
            "mulch": "mulch",
            "bare_slope": "bare slope",
            "building_site": "building site",
            "gravel_drive": "gravel drive",
            "sandy_road": "sandy road",
            "dumpster": "dumpster",
            "food": "food",
            "snow_pile": "snow pile",
            "irrigation": "irrigation",
            "ants": "ants",
            "moss": "moss",
            "pollen": "pollen",
            "vehicle_drip": "vehicle drip",
            "next_door": "sweepings from next door",
        },
    )
    detail = models.CharField("species, distance, place", max_length=160, blank=True)
    brings = models.CharField(
        "what it brings",
        max_length=6,
        blank=True,
        choices={
            w: w for w in ("leaf", "fruit", "sand", "silt", "clay", "mulch", "oil", "salt", "stone")
        },
    )
    months = models.CharField("season, months", max_length=60, blank=True)
    strength = models.CharField(
        "strength",
        max_length=6,
        blank=True,
        choices={"little": "little", "some": "some", "much": "much"},
    )
    who_can_stop_it = models.CharField("who can stop it", max_length=120, blank=True)
    seen_on = models.DateField("seen on", null=True, blank=True)
    asked_on = models.DateField("asked on", null=True, blank=True)
    stopped_on = models.DateField("stopped on", null=True, blank=True)

    objects = DirtSourceQuerySet.as_manager()

    class Meta:
        ordering = ("pk",)
        constraints = (void_has_reason("dirt_source"),)

    def __str__(self) -> str:
        return self.get_kind_display()
