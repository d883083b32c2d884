"""Inspection visits: what was walked, what was not seen and why, water, wells, drains, dirt."""

from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason

REASONS = {
    "spring": "spring",
    "autumn": "autumn",
    "storm": "after storm",
    "complaint": "complaint",
    "warranty": "warranty",
    "sale": "sale",
    "audit": "audit",
    "verify_repair": "verify repair",
    "verify_finding": "verify finding",
}
"""Why one goes; several at once are allowed (`Visit.reasons` is a list of these keys)."""


class VisitState(models.TextChoices):
    """What became of a visit. A walk under way is planned until every known defect is answered."""

    PLANNED = "planned", "planned or under way"
    DONE = "done", "done"
    IN_PART = "in_part", "done in part"
    NOT_ENTERED = "not_entered", "could not enter"


class DrainState(models.TextChoices):
    """How drains, outlet and overflow were found."""

    CLEAR = "clear", "clear"
    PART_BLOCKED = "part_blocked", "part blocked"
    BLOCKED = "blocked", "blocked"
    NOT_FOUND = "not_found", "not found"


class VisitQuerySet(EntryQuerySet):
    """Visits."""

    def under_way(self) -> "VisitQuerySet":
        """Return visits that are not closed yet."""
        return self.standing().filter(state=VisitState.PLANNED)

    def closed(self) -> "VisitQuerySet":
        """Return visits that were walked, whole or in part."""
        return self.standing().filter(state__in=(VisitState.DONE, VisitState.IN_PART))

    def in_order(self) -> "VisitQuerySet":
        """Return visits oldest first."""
        return self.order_by("done_on", "started_at", "pk")


class Visit(Entry):
    """One walk over a pavement. Depths m, rain mm, air degrees Celsius.

    What water did is seen, never tested: where it stood or ran off, and after which rain.

    A visit without a defect still lists the panels walked. It closes only when every defect known
    on its day has an answer: found, not found or could not look.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="visits"
    )
    state = models.CharField(
        "what became of it", max_length=12, choices=VisitState, default=VisitState.PLANNED
    )
    why_not = models.CharField("could not enter because", max_length=200, blank=True)
    done_on = models.DateField("date")
    started_at = models.DateTimeField("from", null=True, blank=True)
    ended_at = models.DateTimeField("to", null=True, blank=True)
    walked_by = models.CharField("by", max_length=160)
    walked_with = models.CharField("with", max_length=200, blank=True)
    reasons = models.JSONField("why", default=list, blank=True)
    other_reason = models.CharField("other reason", max_length=120, blank=True)
    weather = models.CharField("weather", max_length=120, blank=True)
    air_c = models.FloatField("air", null=True, blank=True)
    surface = models.CharField(
        "surface",
        max_length=5,
        blank=True,
        choices={"dry": "dry", "damp": "damp", "wet": "wet", "frost": "frost", "snow": "snow"},
    )
    low_sun = models.CharField("low sun", max_length=3, blank=True, choices=Answer)
    rain_ended_at = models.DateTimeField("rain ended", null=True, blank=True)
    walked_all = models.BooleanField("every panel was walked", default=False)
    water_stands = models.CharField("water stands", max_length=3, blank=True, choices=Answer)
    water_place = models.CharField("water stands where", max_length=160, blank=True)
    water_depth_m = models.FloatField("water, depth", null=True, blank=True)
    water_minutes = models.FloatField("minutes after the rain ended", null=True, blank=True)
    rain_mm = models.FloatField("that rain, depth", null=True, blank=True)
    rain_hours = models.FloatField("that rain lasted, hours", null=True, blank=True)
    rain_known_by = models.CharField("that rain, how known", max_length=120, blank=True)
    ran_off = models.CharField(
        "water ran off the pavement in that rain", max_length=3, blank=True, choices=Answer
    )
    ran_off_place = models.CharField("water ran off where", max_length=160, blank=True)
    drains = models.CharField(
        "drains, outlet, overflow", max_length=12, blank=True, choices=DrainState
    )
    drains_note = models.CharField("drains, in words", max_length=200, blank=True)
    run_on_walked = models.CharField(
        "run-on walked in rain", max_length=3, blank=True, choices=Answer
    )
    new_inflow = models.CharField("new inflow found", max_length=200, blank=True)
    dirt_from = models.CharField("dirt from", max_length=240, blank=True)
    dirt_sources: models.ManyToManyField = models.ManyToManyField(
        "registry.DirtSource", blank=True, related_name="visits"
    )
    winter_damage = models.CharField("winter damage", max_length=200, blank=True)
    salt_left = models.CharField("salt left on the surface", max_length=200, blank=True)
    made_safe = models.CharField("made safe at once", max_length=240, blank=True)
    next_due_on = models.DateField("next due", null=True, blank=True)
    signed_by = models.CharField("signed", max_length=160, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True, editable=False)
    checked_by = models.CharField("checked by", max_length=160, blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)

    objects = VisitQuerySet.as_manager()

    class Meta:
        ordering = ("-done_on", "-pk")
        indexes = (models.Index(fields=("pavement", "done_on")),)
        constraints = (
            void_has_reason("visit"),
            models.CheckConstraint(
                name="visit_not_entered_says_why",
                condition=~Q(state="not_entered") | ~Q(why_not=""),
            ),
            models.CheckConstraint(
                name="visit_water_is_not_negative",
                condition=(Q(water_depth_m__isnull=True) | Q(water_depth_m__gte=0))
                & (Q(water_minutes__isnull=True) | Q(water_minutes__gte=0)),
            ),
            models.CheckConstraint(
                name="visit_rain_is_some_rain",
                condition=(Q(rain_mm__isnull=True) | Q(rain_mm__gt=0))
                & (Q(rain_hours__isnull=True) | Q(rain_hours__gt=0)),
            ),
            models.CheckConstraint(
                name="visit_ends_after_it_begins",
                condition=Q(ended_at__isnull=True)
                | Q(started_at__isnull=True)
                | Q(ended_at__gte=models.F("started_at")),
            ),
        )

    def __str__(self) -> str:
        return f"visit of {self.done_on}"

    @property
    def is_open(self) -> bool:
        """Say whether the walk is still under way."""
        return self.state == VisitState.PLANNED and not self.is_void

    @property
    def reasons_in_words(self) -> str:
        """Return why it was walked, as people say it."""
        told = [REASONS[key] for key in self.reasons if key in REASONS]
        return ", ".join([*told, self.other_reason] if self.other_reason else told)


class WalkedPanel(models.Model):
    """A panel that was walked, or not seen and why."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="panels")
    panel = models.ForeignKey("registry.Panel", on_delete=models.PROTECT, related_name="walked")
    is_unseen = models.BooleanField("not seen", default=False)
    why = models.CharField("not seen because", max_length=160, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("visit", "panel"), name="walked_panel_once"),
            models.CheckConstraint(
                name="unseen_panel_says_why", condition=Q(is_unseen=False) | ~Q(why="")
            ),
        )

    def __str__(self) -> str:
        return f"{self.panel}{' (not seen)' if self.is_unseen else ''}"


class WellReading(Entry):
    """Depth from the cap of an observation well down to the water, or that it was dry."""

    well = models.ForeignKey(
        "registry.ObservationWell", on_delete=models.PROTECT, related_name="readings"
    )
    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="well_readings"
    )
    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="well_readings"
    )
    read_on = models.DateField("date")
    read_at = models.DateTimeField("clock", null=True, blank=True)
    is_dry = models.BooleanField("dry", default=False)
    to_water_m = models.FloatField("to water", null=True, blank=True)

    class Meta:
        ordering = ("-read_on", "-pk")
        constraints = (
            void_has_reason("well_reading"),
            models.CheckConstraint(
                name="well_reading_says_one_thing",
                condition=Q(is_dry=True, to_water_m__isnull=True)
                | Q(is_dry=False, to_water_m__gte=0),
            ),
        )

    def __str__(self) -> str:
        return f"{self.well} {self.read_on}"
