"""The cover of fresh concrete: laid, walked round, broken, laid again, taken off.

Panels are kept as names on the plan of the placing day (`panels`), beside the text as written.
"""

from django.db import models
from django.db.models import F, Q

from registry.models.choices import Answer
from registry.models.entry import Entry, void_has_reason


class Cover(Entry):
    """A strip that was covered. Sheet mm (6 mil is 0.152 mm), overlap mm."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="covers"
    )
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    sheet_mm = models.FloatField("thickness of the sheet", null=True, blank=True)
    misted_before = models.CharField("misted before", max_length=3, choices=Answer, blank=True)
    first_at = models.DateTimeField("first foot covered", null=True, blank=True)
    last_at = models.DateTimeField("last foot covered", null=True, blank=True)
    laps = models.CharField(
        "laps",
        max_length=6,
        blank=True,
        choices={"taped": "taped", "wide": "wide overlap", "none": "none"},
    )
    overlap_mm = models.FloatField("overlap", null=True, blank=True)
    edges = models.CharField(
        "edges held by",
        max_length=6,
        blank=True,
        choices={"lumber": "lumber", "soil": "soil", "none": "nothing"},
    )

    class Meta:
        ordering = ("last_at", "pk")
        constraints = (
            void_has_reason("cover"),
            models.CheckConstraint(
                name="cover_ends_after_it_begins",
                condition=Q(first_at__isnull=True)
                | Q(last_at__isnull=True)
                | Q(last_at__gte=F("first_at")),
            ),
        )

    def __str__(self) -> str:
        return f"cover of {self.panels_text or 'a strip'}"


class CoverWalk(Entry):
    """A walk round the covers, with what was found."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="cover_walks"
    )
    at = models.DateTimeField("clock")
    walked_by = models.CharField("by", max_length=120)
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    found = models.CharField("found", max_length=240, blank=True)

    class Meta:
        ordering = ("at", "pk")
        constraints = (void_has_reason("cover_walk"),)

    def __str__(self) -> str:
        return f"walk by {self.walked_by}"


class CoverBreak(Entry):
    """A time in which panels lay bare. `to_at` is empty where nobody knows when it was relaid."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="cover_breaks"
    )
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    bare_area_m2 = models.FloatField("bare area", null=True, blank=True)
    from_at = models.DateTimeField("off from")
    to_at = models.DateTimeField("relaid", null=True, blank=True)
    cause = models.CharField(
        "cause",
        max_length=8,
        blank=True,
        choices={"wind": "wind", "animal": "animal", "person": "person", "rain": "rain"},
    )
    relaid_how = models.CharField("relaid: how, by", max_length=160, blank=True)

    class Meta:
        ordering = ("from_at", "pk")
        constraints = (
            void_has_reason("cover_break"),
            models.CheckConstraint(
                name="cover_break_ends_after_it_begins",
                condition=Q(to_at__isnull=True) | Q(to_at__gte=F("from_at")),
            ),
        )

    def __str__(self) -> str:
        return f"cover off {self.panels_text or 'a strip'}"


class Uncover(Entry):
    """When panels were uncovered for good."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="uncovers"
    )
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    at = models.DateTimeField("clock")
    uncovered_by = models.CharField("by", max_length=120, blank=True)

    class Meta:
        ordering = ("at", "pk")
        constraints = (void_has_reason("uncover"),)

    def __str__(self) -> str:
        return f"{self.panels_text or 'strip'} uncovered"


class EarlyLoad(Entry):
    """Feet, animal or wheels on concrete before its release. Days old follow from the placing."""

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="early_loads"
    )
    what = models.CharField(
        "what",
        max_length=8,
        choices={
            "feet": "feet",
            "animal": "animal",
            "cart": "cart",
            "car": "car",
            "truck": "truck",
        },
    )
    in_words = models.CharField("in words", max_length=200, blank=True)
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    at = models.DateTimeField("clock")
    seen_by = models.CharField("seen by", max_length=120, blank=True)

    class Meta:
        ordering = ("at", "pk")
        constraints = (void_has_reason("early_load"),)

    def __str__(self) -> str:
        return f"{self.get_what_display()} on {self.panels_text or 'the surface'}"
