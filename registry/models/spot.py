"""Spots: fixed points for life, and random spots from a recorded draw."""

from django.db import models

from registry.models.choices import ReadingSystem, StratumKind
from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class SpotQuerySet(EntryQuerySet):
    """Spots."""

    def fixed(self) -> "SpotQuerySet":
        """Return fixed points that still exist."""
        return self.standing().filter(is_fixed=True, ended_on__isnull=True)


class Spot(Entry):
    """A place where the ring is put. (right_m, up_m) are from the datum, where known.

    A fixed point in a replaced panel ends; the new concrete gets a new spot with its own as-built.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="spots"
    )
    panel = models.ForeignKey(
        "registry.Panel", on_delete=models.PROTECT, null=True, blank=True, related_name="spots"
    )
    name = models.CharField("spot", max_length=40)
    is_fixed = models.BooleanField("fixed point", default=True)
    stratum = models.CharField("stratum", max_length=12, choices=StratumKind, blank=True)
    place = models.CharField("place as written", max_length=80, blank=True)
    right_m = models.FloatField("right of the datum", null=True, blank=True)
    up_m = models.FloatField("up from the datum", null=True, blank=True)
    concrete_placed_on = models.DateField("this concrete placed on", null=True, blank=True)
    draw = models.ForeignKey(
        "registry.SpotDraw", on_delete=models.PROTECT, null=True, blank=True, related_name="spots"
    )
    draw_order = models.PositiveIntegerField(null=True, blank=True)
    ended_on = models.DateField("ended on", null=True, blank=True)
    ended_why = models.CharField("ended because", max_length=200, blank=True)

    objects = SpotQuerySet.as_manager()

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("spot"),
            models.UniqueConstraint(
                fields=("pavement", "name"),
                condition=models.Q(void_at__isnull=True, ended_on__isnull=True),
                name="spot_name_once_at_a_time",
            ),
        )

    def __str__(self) -> str:
        return self.name


class SpotDraw(Entry):
    """A draw of random spots, written down before going: seed, numbers, what was skipped."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="draws"
    )
    number = models.PositiveIntegerField("draw no.")
    drawn_on = models.DateField("drawn on")
    seed = models.BigIntegerField("seed")
    required_count = models.PositiveIntegerField("spots required")
    counted_in = models.CharField("counted by the rule in", max_length=12, choices=ReadingSystem)
    result = models.JSONField("every number drawn, in order")

    class Meta:
        ordering = ("-number",)
        constraints = (
            void_has_reason("draw"),
            models.UniqueConstraint(fields=("pavement", "number"), name="draw_number_once"),
        )

    def __str__(self) -> str:
        return f"draw {self.number}"
