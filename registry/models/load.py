"""Loads: one ticket each, what was in it, when it came, where it went is in its spreads."""

from django.db import models
from django.db.models import F, Q

from registry.models.choices import ReadingSystem
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.signed_move import SignedMove, move_back_says_why
from registry.placing.moves import LOAD

STATES = dict(LOAD.states)


class WaterBy(models.TextChoices):
    """Who had water added on site."""

    DRIVER = "driver", "driver"
    FOREMAN = "foreman", "foreman"
    TESTER = "tester", "tester"
    NOBODY_KNOWS = "nk", "nobody knows"


class Look(models.TextChoices):
    """How the fresh concrete looked."""

    DRY = "dry", "dry and dull"
    EVEN = "even", "even wet sheen"
    RUNNING = "running", "paste running"


class LoadQuerySet(EntryQuerySet):
    """Loads."""

    def in_order(self) -> "LoadQuerySet":
        """Return loads in the order in which they came."""
        return self.order_by("placing_day__placed_on", "order_on_day", "pk")

    def of_days(self, days: models.QuerySet) -> "LoadQuerySet":
        """Return the loads of placing days."""
        return self.filter(placing_day__in=days)

    def placed(self) -> "LoadQuerySet":
        """Return loads that went into the pavement, whole or in part."""
        return self.standing().exclude(state="sent_back")


class Load(Entry):
    """One load. Volumes m3 and L, masses kg, kg/m3; times are instants.

    `free_moisture_kg` of the aggregate is 0 where `batch_water_kg` has it already, and empty where
    nobody knows it. `state` is where its moves led; only actions write it.
    """

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="loads"
    )
    system = models.CharField("units of the ticket", max_length=10, choices=ReadingSystem)
    order_on_day = models.PositiveSmallIntegerField("order of arrival", default=0)
    number = models.CharField("load no.", max_length=12)
    ticket = models.CharField("ticket no.", max_length=40, blank=True)
    plant = models.CharField("plant", max_length=120, blank=True)
    mix = models.CharField("mix", max_length=120, blank=True)
    volume_m3 = models.FloatField("volume", null=True, blank=True)
    cementitious_kg_m3 = models.FloatField("cementitious", null=True, blank=True)
    batch_water_kg = models.FloatField("batch water", null=True, blank=True)
    free_moisture_kg = models.FloatField("free moisture of the aggregate", null=True, blank=True)
    stabilizer = models.CharField("stabilizer: name, dose", max_length=120, blank=True)
    admixture = models.CharField("other admixture: name, dose", max_length=120, blank=True)
    held_back_l = models.FloatField("water held back at the plant", null=True, blank=True)
    batched_at = models.DateTimeField("batched (water met cement)", null=True, blank=True)
    arrived_at = models.DateTimeField("arrived", null=True, blank=True)
    discharge_from_at = models.DateTimeField("discharge from", null=True, blank=True)
    discharge_to_at = models.DateTimeField("discharge to", null=True, blank=True)
    site_water_l = models.FloatField("water added on site", null=True, blank=True)
    site_water_at = models.DateTimeField("water added at", null=True, blank=True)
    site_water_by = models.CharField("water ordered by", max_length=8, choices=WaterBy, blank=True)
    look = models.CharField("look", max_length=8, choices=Look, blank=True)
    density_kg_m3 = models.FloatField("fresh density", null=True, blank=True)
    concrete_c = models.FloatField("concrete temperature", null=True, blank=True)
    cover_first_at = models.DateTimeField("first foot covered", null=True, blank=True)
    cover_last_at = models.DateTimeField("last foot covered", null=True, blank=True)
    wasted_m3 = models.FloatField("part wasted", null=True, blank=True)
    sent_back_why = models.CharField("sent back because", max_length=200, blank=True)
    state = models.CharField(
        "state", max_length=16, choices=STATES, default="ordered", editable=False
    )

    objects = LoadQuerySet.as_manager()

    class Meta:
        ordering = ("placing_day", "order_on_day", "pk")
        constraints = (
            void_has_reason("load"),
            models.UniqueConstraint(
                fields=("placing_day", "number"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="load_number_once_a_day",
            ),
            models.CheckConstraint(
                name="load_has_a_volume", condition=Q(volume_m3__isnull=True) | Q(volume_m3__gt=0)
            ),
            models.CheckConstraint(
                name="load_water_is_not_below_0",
                condition=(Q(batch_water_kg__isnull=True) | Q(batch_water_kg__gte=0))
                & (Q(free_moisture_kg__isnull=True) | Q(free_moisture_kg__gte=0))
                & (Q(site_water_l__isnull=True) | Q(site_water_l__gte=0)),
            ),
            models.CheckConstraint(
                name="load_discharged_after_it_was_batched",
                condition=Q(batched_at__isnull=True)
                | Q(discharge_from_at__isnull=True)
                | Q(discharge_from_at__gte=F("batched_at")),
            ),
        )

    def __str__(self) -> str:
        return f"load {self.number}"


class LoadMove(SignedMove):
    """One move of a load's state."""

    words = STATES

    load = models.ForeignKey(Load, on_delete=models.PROTECT, related_name="moves")

    class Meta(SignedMove.Meta):
        constraints = (move_back_says_why("load"),)


class Spread(Entry):
    """Where a part of a load went: a lane, from and to in metres up from the datum line."""

    load = models.ForeignKey(Load, on_delete=models.PROTECT, related_name="spreads")
    lane = models.CharField("lane", max_length=8)
    from_m = models.FloatField("from")
    to_m = models.FloatField("to")
    joints_crossed = models.JSONField("clock at each joint crossed", default=list, blank=True)

    class Meta:
        ordering = ("load", "pk")
        constraints = (
            void_has_reason("spread"),
            models.CheckConstraint(name="spread_runs_up", condition=Q(to_m__gt=F("from_m"))),
        )

    def __str__(self) -> str:
        return f"{self.load}, lane {self.lane}"
