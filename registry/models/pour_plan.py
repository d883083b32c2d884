"""Plans of a placing day: order and limits of the loads from a forecast, made before the day."""

from django.db import models
from django.db.models import Q

from registry.models.choices import ReadingSystem
from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class DryingChoice(models.TextChoices):
    """Which limit on evaporation the day is planned by; limits of N11's source."""

    NO_BLEED = "no_bleed", "a mix that does not bleed: 0.1 lb/ft²/h, 0.5 kg/m²/h"
    PLAIN = "plain", "plain concrete: 0.2 lb/ft²/h, 1.0 kg/m²/h"
    OWN = "own", "the contract's own limit, written below"


class PourPlanQuerySet(EntryQuerySet):
    """Pour plans."""

    def in_order(self) -> "PourPlanQuerySet":
        """Return plans, the next day first."""
        return self.order_by("-planned_on", "-pk")


class PourPlan(Entry):
    """One plan. Lengths m, volumes m3, minutes; `lanes` is [[lane, from_m, to_m], ...] in order.

    `forecast` is [[clock "07:00", air_c, humidity_percent, wind_km_h, concrete_c or null], ...];
    the text as written or brought stands in `as_written`. What follows from it is worked out anew
    each time. It is its contractor's own until `shown_on`.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="pour_plans"
    )
    system = models.CharField("units of the plan", max_length=10, choices=ReadingSystem)
    planned_on = models.DateField("day")
    first_at = models.DateTimeField("first load begins to discharge")
    lanes = models.JSONField("lanes, in the order of placing", default=list)
    thickness_mm = models.FloatField("plan thickness")
    load_m3 = models.FloatField("a load holds")
    wasted_percent = models.FloatField("of a load wasted, %", null=True, blank=True)
    placing_speed_m_min = models.FloatField("placing speed along a lane")
    cover_min = models.FloatField("the crew covers within, minutes after discharge")
    cover_within_min = models.FloatField(
        "contract: cover within, minutes after discharge", null=True, blank=True
    )
    plant_km = models.FloatField("plant, distance km", null=True, blank=True)
    plant_min = models.FloatField("plant to site, minutes from batching", null=True, blank=True)
    batch_to_discharge_min = models.FloatField(
        "mix: batch to discharge, at most minutes", null=True, blank=True
    )
    crew = models.PositiveSmallIntegerField("crew, people", null=True, blank=True)
    cover_crew = models.PositiveSmallIntegerField(
        "of them with nothing but the cover", null=True, blank=True
    )
    shade_misting = models.CharField("shade, misting", max_length=160, blank=True)
    limit_by = models.CharField(
        "evaporation limit", max_length=8, choices=DryingChoice, default=DryingChoice.NO_BLEED
    )
    drying_limit_kg_m2_h = models.FloatField("own limit on evaporation", null=True, blank=True)
    concrete_c = models.FloatField("concrete, where the forecast names none", null=True, blank=True)
    forecast_source = models.CharField("forecast from, read at", max_length=160, blank=True)
    forecast = models.JSONField("forecast by the hour", default=list, blank=True)
    shown_on = models.DateField("shown to the other side on", null=True, blank=True)

    objects = PourPlanQuerySet.as_manager()

    class Meta:
        ordering = ("-planned_on", "-pk")
        constraints = (
            void_has_reason("pour_plan"),
            models.CheckConstraint(
                name="pour_plan_sizes_are_above_0",
                condition=Q(thickness_mm__gt=0, load_m3__gt=0, placing_speed_m_min__gt=0),
            ),
            models.CheckConstraint(
                name="pour_plan_minutes_are_not_below_0",
                condition=Q(cover_min__gte=0)
                & (Q(plant_min__isnull=True) | Q(plant_min__gte=0))
                & (Q(cover_within_min__isnull=True) | Q(cover_within_min__gte=0))
                & (Q(batch_to_discharge_min__isnull=True) | Q(batch_to_discharge_min__gte=0)),
            ),
            models.CheckConstraint(
                name="pour_plan_wastes_less_than_all",
                condition=Q(wasted_percent__isnull=True)
                | Q(wasted_percent__gte=0, wasted_percent__lt=100),
            ),
            models.CheckConstraint(
                name="pour_plan_own_limit_is_written",
                condition=~Q(limit_by="own")
                | Q(drying_limit_kg_m2_h__isnull=False, drying_limit_kg_m2_h__gt=0),
            ),
        )

    def __str__(self) -> str:
        return f"pour plan for {self.planned_on}"
