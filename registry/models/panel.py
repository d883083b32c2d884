"""Panels, joints and edges. A replaced panel keeps its name; a cut one ends in two."""

import re
from datetime import date

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, EntryQuerySet, void_has_reason


def plan_order(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return the key that sorts names as they stand on a plan: A2 before A10, A10 before B1."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name.casefold())
    return tuple((0, int(p), "") if p.isdecimal() else (1, 0, p) for p in parts)


class PanelQuerySet(EntryQuerySet):
    """Panels by time."""

    def existing_on(self, day: date) -> "PanelQuerySet":
        """Return panels that were there on a day."""
        return self.filter(
            Q(exists_from_on__isnull=True) | Q(exists_from_on__lte=day),
            Q(exists_to_on__isnull=True) | Q(exists_to_on__gt=day),
        )

    def of_cleaning(self, cleaning: models.Model) -> "PanelQuerySet":
        """Return panels that were there on the day of a cleaning, and all that it names."""
        there = Panel.objects.existing_on(cleaning.done_on).values("pk")
        return self.filter(Q(pk__in=there) | Q(cleaned__cleaning=cleaning)).distinct()

    def on_plan(self, plan: models.Model) -> "PanelQuerySet":
        """Return the panels drawn on a plan; those that name none are on the plan in force."""
        return self.filter(Q(plan__isnull=True) | Q(plan=plan))


class Panel(Entry):
    """A panel of concrete. Home corner at (right_m, up_m) from the datum."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="panels"
    )
    plan = models.ForeignKey(
        "registry.Plan", on_delete=models.PROTECT, null=True, blank=True, related_name="panels"
    )
    section = models.ForeignKey(
        "registry.Section", on_delete=models.PROTECT, null=True, blank=True, related_name="panels"
    )
    name = models.CharField("panel", max_length=12)
    right_m = models.FloatField("home corner, right of the datum")
    up_m = models.FloatField("home corner, up from the datum")
    width_m = models.FloatField("width")
    length_m = models.FloatField("length")
    corners = models.JSONField("corners, [[right_m, up_m], ...]", default=list, blank=True)
    kind = models.CharField(
        "kind",
        max_length=8,
        default="full",
        choices={"full": "full", "closing": "closing piece", "around": "around a fixture"},
    )
    placed_on = models.DateField("placed on", null=True, blank=True)
    exists_from_on = models.DateField("exists from", null=True, blank=True)
    exists_to_on = models.DateField("exists to", null=True, blank=True)
    ended_as = models.CharField(
        "ended as",
        max_length=10,
        blank=True,
        choices={
            "replaced": "replaced",
            "cut": "cut in two",
            "removed": "removed",
            "redrawn": "drawn anew on a later plan",
        },
    )
    cut_from = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="cut_into"
    )
    replaces = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="replaced_by"
    )

    objects = PanelQuerySet.as_manager()

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("panel"),
            models.CheckConstraint(
                name="panel_has_a_size", condition=Q(width_m__gt=0, length_m__gt=0)
            ),
            models.CheckConstraint(
                name="panel_ends_after_it_begins",
                condition=Q(exists_to_on__isnull=True)
                | Q(exists_from_on__isnull=True)
                | Q(exists_to_on__gte=models.F("exists_from_on")),
            ),
            models.UniqueConstraint(
                fields=("pavement", "name"),
                condition=Q(exists_to_on__isnull=True, void_at__isnull=True),
                name="panel_name_once_at_a_time",
            ),
        )

    def __str__(self) -> str:
        return self.name

    def is_there_on(self, day: date) -> bool:
        """Say whether the panel is one of those `existing_on` a day."""
        begun = self.exists_from_on is None or self.exists_from_on <= day
        return begun and (self.exists_to_on is None or day < self.exists_to_on)


class Joint(Entry):
    """A joint between two panels."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="joints"
    )
    between = models.CharField("between panels", max_length=40)
    kind = models.CharField(
        "kind",
        max_length=12,
        choices={
            "tooled_wet": "contraction, tooled wet",
            "wedge": "contraction, wedge",
            "sawn": "contraction, sawn",
            "construction": "construction",
            "isolation": "isolation",
        },
    )
    depth_mm = models.FloatField("depth", null=True, blank=True)
    spacing_m = models.FloatField("spacing", null=True, blank=True)
    after_placing_h = models.FloatField("hours after placing", null=True, blank=True)
    filler = models.CharField(
        "filler",
        max_length=8,
        blank=True,
        choices={"none": "none", "foam": "foam", "stone": "stone", "sealant": "sealant"},
    )
    state = models.CharField(
        "state",
        max_length=12,
        blank=True,
        choices={"open": "open", "stone_filled": "stone-filled", "spalled": "spalled"},
    )

    class Meta:
        constraints = (void_has_reason("joint"),)

    def __str__(self) -> str:
        return self.between


class Edge(Entry):
    """One side of a panel and what it lies against."""

    panel = models.ForeignKey(Panel, on_delete=models.PROTECT, related_name="edges")
    side = models.CharField(
        "side",
        max_length=5,
        choices={"left": "left", "right": "right", "upper": "upper", "lower": "lower"},
    )
    against = models.CharField(
        "against",
        max_length=10,
        choices={
            "curb": "curb",
            "free": "free",
            "building": "building",
            "pavement": "other pavement",
            "fixture": "fixture",
        },
    )
    hard_edge = models.BooleanField("hard edge", null=True, blank=True)
    hand_compacted = models.BooleanField("compacted by hand", null=True, blank=True)
    edger_radius_mm = models.FloatField("edger radius", null=True, blank=True)
    length_m = models.FloatField("length", null=True, blank=True)

    class Meta:
        constraints = (void_has_reason("edge"),)

    def __str__(self) -> str:
        return f"{self.panel} {self.side}"
