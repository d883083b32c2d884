"""Placing days: the concrete of one day on one pavement, with the limits that held on it."""

from datetime import date, datetime

from django.db import models
from django.db.models import Exists, F, OuterRef, Q
from django.db.models.functions import Coalesce

from registry.models.choices import ReadingSystem
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.hand_over import HandOver
from registry.models.warranty import WarrantyMove

TASKS = {
    "rake": "rake",
    "screed": "screed",
    "roll": "roll",
    "edge": "edge",
    "joint": "joint",
    "cover": "cover",
}
"""Tasks of a crew (`PlacingDay.crew_by_task` has these keys)."""


class Subbase(models.TextChoices):
    """How the ground below was when the concrete came."""

    DAMP = "damp", "damp"
    DRY = "dry", "dry"
    WET = "wet", "wet"
    FROZEN = "frozen", "frozen: stop"


def handed_over_by(at: datetime) -> Q:
    """Return the condition that a placing day was handed over by then; a repair's by acceptance.

    Only who placed it hands it over: its giver signed a first certificate, or started the warranty
    as its contractor.
    """
    placed_by = OuterRef("entered_for")
    certificate = HandOver.objects.in_effect(at).filter(
        pavement=OuterRef("pavement"), is_first=True, giver=Coalesce(placed_by, F("giver"))
    )
    started = WarrantyMove.objects.filter(
        warranty__void_at=None,
        warranty__pavement=OuterRef("pavement"),
        warranty__contractor=Coalesce(placed_by, F("warranty__contractor")),
        to_state="running",
        by_organisation=F("warranty__contractor"),
    ).exclude(warranty__state="not_started")
    first = Q(repair__isnull=True) & (Q(Exists(certificate)) | Q(Exists(started)))
    return first | Q(repair__state="accepted")


class PlacingDayQuerySet(EntryQuerySet):
    """Placing days."""

    def in_order(self) -> "PlacingDayQuerySet":
        """Return days oldest first."""
        return self.order_by("placed_on", "starts_at", "pk")

    def handed_over(self, at: datetime) -> "PlacingDayQuerySet":
        """Return days of the first work that were handed over by an instant."""
        return self.filter(handed_over_by(at), repair__isnull=True)

    def on_or_before(self, day: date) -> "PlacingDayQuerySet":
        """Return days up to and with one."""
        return self.filter(placed_on__lte=day)


class PlacingDay(Entry):
    """One day's concrete. Lengths mm, densities kg/m3, times of the site kept as instants.

    Every limit the day is held against is kept with it. `system` is the one its readings were
    taken in: the form of the evaporation follows from it. `crew_by_task` (task to names) is the
    contractor's own and leaves its side never. `repair` is set where old panels were replaced.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="placing_days"
    )
    section = models.ForeignKey(
        "registry.Section",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="placing_days",
        verbose_name="section",
    )
    repair = models.ForeignKey(
        "registry.Repair",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="placing_days",
        verbose_name="repair",
    )
    number = models.CharField("our job no.", max_length=40, blank=True)
    system = models.CharField("units of the day", max_length=10, choices=ReadingSystem)
    placed_on = models.DateField("date")
    starts_at = models.DateTimeField("start", null=True, blank=True)
    ends_at = models.DateTimeField("end", null=True, blank=True)
    foreman = models.CharField("foreman", max_length=120, blank=True)
    crew_by_task = models.JSONField("crew by task", default=dict, blank=True)
    subbase = models.CharField("subbase", max_length=6, choices=Subbase, blank=True)
    must_match = models.CharField("must match test panel no.", max_length=40, blank=True)
    thickness_mm = models.FloatField("plan thickness", null=True, blank=True)
    placing_speed_m_min = models.FloatField("placing speed, m a minute", null=True, blank=True)
    cover_within_min = models.FloatField(
        "cover within, minutes after discharge", null=True, blank=True
    )
    covered_hours_required = models.FloatField("to stay covered, hours", null=True, blank=True)
    batch_to_discharge_min = models.FloatField(
        "batch to discharge, at most minutes", null=True, blank=True
    )
    water_cement_design = models.FloatField("design w/cm", null=True, blank=True)
    water_cement_limit = models.FloatField("w/cm at most", null=True, blank=True)
    density_approved_kg_m3 = models.FloatField("approved fresh density", null=True, blank=True)
    density_tolerance_kg_m3 = models.FloatField("density within", null=True, blank=True)
    drying_limit_kg_m2_h = models.FloatField("evaporation at most, kg/m²/h", null=True, blank=True)
    released_on = models.DateField("released to traffic on", null=True, blank=True)

    objects = PlacingDayQuerySet.as_manager()

    class Meta:
        ordering = ("placed_on", "pk")
        constraints = (
            void_has_reason("placing_day"),
            models.CheckConstraint(
                name="placing_day_ends_after_it_begins",
                condition=Q(starts_at__isnull=True)
                | Q(ends_at__isnull=True)
                | Q(ends_at__gt=models.F("starts_at")),
            ),
            models.CheckConstraint(
                name="placing_day_limits_are_above_0",
                condition=(Q(thickness_mm__isnull=True) | Q(thickness_mm__gt=0))
                & (Q(water_cement_limit__isnull=True) | Q(water_cement_limit__gt=0))
                & (Q(density_approved_kg_m3__isnull=True) | Q(density_approved_kg_m3__gt=0)),
            ),
        )

    def __str__(self) -> str:
        return f"placing day {self.placed_on}"
