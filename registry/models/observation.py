"""Observations: what one person saw of a defect on one day. Growth lives between them."""

from dataclasses import fields

from django.db import models
from django.db.models import Q

from registry.defects import Measured
from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason

MEASURES = tuple(field.name for field in fields(Measured))
"""Names that the pure rules and the columns of a look share."""


class ObservationQuerySet(EntryQuerySet):
    """Observations."""

    def in_order(self) -> "ObservationQuerySet":
        """Return observations oldest first."""
        return self.order_by("seen_on", "pk")


class Observation(Entry):
    """One look at a defect. Lengths m, areas m2; the names are those of `defects.Measured`.

    `carried_from` is the look that this one repeats at a part of a pavement that was split.
    """

    class Found(models.TextChoices):
        FOUND = "found", "found"
        NOT_FOUND = "not_found", "not found"
        COULD_NOT_LOOK = "could_not_look", "could not look"

    class Method(models.TextChoices):
        TAPE = "tape", "tape"
        OUTLINE = "outline", "outline on the plan"
        COUNT_FRAME = "count_frame", "count frame"
        EYE = "eye", "eye"
        PHOTO = "photo", "outline on photo"

    class Poured(models.TextChoices):
        NORMAL = "normal", "goes through"
        SLOW = "slow", "goes slowly"
        SEALED = "sealed", "stands"

    class Direction(models.TextChoices):
        UP = "up", "up"
        DOWN = "down", "down"
        LEFT = "left", "to the left"
        RIGHT = "right", "to the right"
        UP_DOWN = "up_down", "up and down, side not told"
        LEFT_RIGHT = "left_right", "left and right, side not told"
        SLANTING = "slanting", "slanting"

    defect = models.ForeignKey(
        "registry.Defect", on_delete=models.PROTECT, related_name="observations"
    )
    visit = models.ForeignKey(
        "registry.Visit",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="observations",
    )
    found = models.CharField("found", max_length=14, choices=Found, default=Found.FOUND)
    why_not = models.CharField("could not look because", max_length=160, blank=True)
    seen_on = models.DateField("date")
    seen_by = models.CharField("seen by", max_length=160, blank=True)
    good_light = models.CharField("good light", max_length=3, blank=True, choices=Answer)
    method = models.CharField("measured by", max_length=12, blank=True, choices=Method)
    tool = models.CharField("tool", max_length=80, blank=True)
    severity = models.CharField(
        "severity",
        max_length=8,
        blank=True,
        choices={"low": "low", "moderate": "moderate", "high": "high"},
    )
    severity_by_eye = models.BooleanField("severity given by eye", default=False)
    graded_by = models.CharField("rule that gave the severity", max_length=240, blank=True)
    area_m2 = models.FloatField("area", null=True, blank=True)
    area_error_m2 = models.FloatField("area, stated error", null=True, blank=True)
    length_m = models.FloatField("length", null=True, blank=True)
    length_error_m = models.FloatField("length, stated error", null=True, blank=True)
    width_m = models.FloatField("width", null=True, blank=True)
    crack_width_m = models.FloatField("crack, widest", null=True, blank=True)
    typical_width_m = models.FloatField("crack, typical width", null=True, blank=True)
    lip_m = models.FloatField("lip", null=True, blank=True)
    depth_m = models.FloatField("depth", null=True, blank=True)
    size_m = models.FloatField("size", null=True, blank=True)
    ravels_to_m = models.FloatField("ravels to a width of", null=True, blank=True)
    count = models.PositiveIntegerField("count", null=True, blank=True)
    frame_points = models.PositiveSmallIntegerField(
        "points of 100 in the frame", null=True, blank=True
    )
    stones_deep = models.FloatField("stones deep", null=True, blank=True)
    swept_kg = models.FloatField("stone swept by 10 strokes", null=True, blank=True)
    water_minutes = models.FloatField("water stands, minutes", null=True, blank=True)
    panel_share = models.FloatField("share of the panel", null=True, blank=True)
    stone_at_third_sweep = models.BooleanField(
        "stone still comes at the third sweeping", null=True, blank=True
    )
    is_below_action_level = models.BooleanField(
        "test below the action level", null=True, blank=True
    )
    is_at_run_on_edge = models.BooleanField("at the run-on edge", null=True, blank=True)
    has_broken_stones = models.BooleanField("broken stones", null=True, blank=True)
    moves = models.BooleanField("moves or rocks", null=True, blank=True)
    is_loose = models.BooleanField("loose", null=True, blank=True)
    holds_water = models.BooleanField("holds water", null=True, blank=True)
    is_slippery = models.BooleanField("slippery", null=True, blank=True)
    has_void = models.BooleanField("void under the slab", null=True, blank=True)
    pours = models.CharField(
        "water poured on it",
        max_length=6,
        blank=True,
        choices=Poured,
    )
    direction = models.CharField(
        "direction, as the plan has up",
        max_length=10,
        blank=True,
        choices=Direction,
    )
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)
    carried_from = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="carried_to",
    )

    objects = ObservationQuerySet.as_manager()

    class Meta:
        ordering = ("-seen_on", "-pk")
        indexes = (models.Index(fields=("defect", "seen_on")),)
        constraints = (
            void_has_reason("observation"),
            models.CheckConstraint(
                name="observation_not_looked_says_why",
                condition=~Q(found="could_not_look") | ~Q(why_not=""),
            ),
            models.CheckConstraint(
                name="observation_sizes_are_not_negative",
                condition=(Q(area_m2__isnull=True) | Q(area_m2__gte=0))
                & (Q(length_m__isnull=True) | Q(length_m__gte=0))
                & (Q(width_m__isnull=True) | Q(width_m__gte=0))
                & (Q(crack_width_m__isnull=True) | Q(crack_width_m__gte=0))
                & (Q(lip_m__isnull=True) | Q(lip_m__gte=0))
                & (Q(depth_m__isnull=True) | Q(depth_m__gte=0)),
            ),
            models.CheckConstraint(
                name="observation_frame_has_100_points",
                condition=Q(frame_points__isnull=True) | Q(frame_points__lte=100),
            ),
            models.UniqueConstraint(
                fields=("defect", "visit"),
                condition=Q(visit__isnull=False, void_at__isnull=True, double_of__isnull=True),
                name="observation_once_a_visit",
            ),
        )

    def __str__(self) -> str:
        return f"{self.defect} on {self.seen_on}"
