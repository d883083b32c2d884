"""Cleanings and other upkeep of the surface."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.together import together


class CleaningMethod(models.TextChoices):
    """Methods as people name them; CLASS_OF maps each to the four that the figures tell apart."""

    BROOM = "broom", "leaf blower and broom"
    WALK_BEHIND = "walk_behind_vacuum", "walk-behind vacuum"
    REGENERATIVE_AIR = "regenerative_air", "regenerative-air sweeper"
    VACUUM = "vacuum", "full vacuum sweeper"
    WASH_THEN_VACUUM = "wash_then_vacuum", "pressure wash, then vacuum"
    WASH_AND_VACUUM = "wash_and_vacuum", "pressure wash and vacuum in one pass"
    AIR_AND_VACUUM = "air_and_vacuum", "compressed air and vacuum"
    BRUSH_AND_VACUUM = "brush_and_vacuum", "power brush with vacuum"
    HAND_TOOLS = "hand_tools", "hand tools"
    JOINT_STONE = "joint_stone", "joint stone removed and refilled"
    MOSS_BRUSHED = "moss_brushed", "moss brushed dry"
    DRAIN_FLUSHED = "drain_flushed", "drain or pipe flushed"


CLASS_OF = {
    "broom": "broom",
    "walk_behind_vacuum": "vacuum",
    "regenerative_air": "regenerative_air",
    "vacuum": "vacuum",
    "wash_then_vacuum": "wash_and_vacuum",
    "wash_and_vacuum": "wash_and_vacuum",
    "air_and_vacuum": "vacuum",
    "brush_and_vacuum": "vacuum",
    "hand_tools": "broom",
    "joint_stone": "wash_and_vacuum",
    "moss_brushed": "broom",
    "drain_flushed": "",
}
RESTORATIVE = frozenset({"wash_then_vacuum", "wash_and_vacuum", "joint_stone"})


class CleaningState(models.TextChoices):
    """What became of the visit. Turned away and called off are events with a cost, no cleanings."""

    DONE = "done", "done"
    IN_PART = "in_part", "done in part"
    TURNED_AWAY = "turned_away", "turned away"
    CALLED_OFF = "called_off", "called off"


class CleaningQuerySet(EntryQuerySet):
    """Cleanings."""

    def done(self) -> "CleaningQuerySet":
        """Return cleanings in which dirt was really taken away."""
        return self.standing().filter(state__in=(CleaningState.DONE, CleaningState.IN_PART))

    def restorative(self) -> "CleaningQuerySet":
        """Return cleanings meant to bring the rate back."""
        return self.done().filter(is_restorative=True)

    def in_order(self) -> "CleaningQuerySet":
        """Return cleanings oldest first."""
        return self.order_by("done_on", "started_at", "pk")


class Cleaning(Entry):
    """One cleaning of a pavement or of some of its panels. Areas m2, volumes m3 and L."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="cleanings"
    )
    work_order = models.ForeignKey(
        "registry.WorkOrder",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="cleanings",
        verbose_name="work order",
    )
    number = models.CharField("event no.", max_length=40, blank=True)
    state = models.CharField(
        "what happened", max_length=12, choices=CleaningState, default=CleaningState.DONE
    )
    why_not = models.CharField("turned away or called off because", max_length=200, blank=True)
    not_done_by = models.CharField("turned away or called off by", max_length=160, blank=True)
    asked_by = models.CharField("asked by, order no.", max_length=120, blank=True)
    reason = models.CharField(
        "reason",
        max_length=14,
        blank=True,
        choices={
            "spring": "routine, spring",
            "autumn": "routine, autumn",
            "leaf": "leaf",
            "after_sand": "after sand",
            "after_spill": "after spill",
            "restorative": "restorative",
            "before_test": "before test",
        },
    )
    done_on = models.DateField("date")
    started_at = models.DateTimeField("start", null=True, blank=True)
    ended_at = models.DateTimeField("end", null=True, blank=True)
    hours_on_site = models.FloatField("hours on site", null=True, blank=True)
    firm = models.CharField("firm", max_length=160, blank=True)
    operator = models.CharField("operator", max_length=120, blank=True)
    machine = models.CharField(
        "machine: type, head width, brush, pressure, nozzle", max_length=240, blank=True
    )
    swept_with = models.ForeignKey(
        "registry.Machine",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="cleanings",
        verbose_name="machine on the record",
    )
    method = models.CharField("method", max_length=18, choices=CleaningMethod)
    is_restorative = models.BooleanField("meant to bring the rate back", default=False)
    surface = models.CharField(
        "surface",
        max_length=5,
        blank=True,
        choices={"dry": "dry", "damp": "damp", "wet": "wet", "frost": "frost"},
    )
    last_rain = models.CharField("last rain", max_length=80, blank=True)
    passes = models.PositiveSmallIntegerField("passes", null=True, blank=True)
    pattern = models.CharField("pattern", max_length=80, blank=True)
    speed_km_h = models.FloatField("speed", null=True, blank=True)
    covers_all = models.BooleanField("whole pavement", default=True)
    rows_text = models.CharField("rows or panels, as written", max_length=240, blank=True)
    missed_why = models.CharField("missed because", max_length=240, blank=True)
    area_m2 = models.FloatField("area", null=True, blank=True)
    debris_m3 = models.FloatField("debris, volume", null=True, blank=True)
    debris_bags = models.PositiveIntegerField("debris, bags", null=True, blank=True)
    debris_kg = models.FloatField("debris, weighed", null=True, blank=True)
    debris_wet = models.CharField(
        "debris was", max_length=3, blank=True, choices={"wet": "wet", "dry": "dry"}
    )
    debris_is_guessed = models.BooleanField("volume guessed", default=False)
    debris_look = models.CharField(
        "debris looked like",
        max_length=12,
        blank=True,
        choices={
            "sand": "sand",
            "leaf": "leaf",
            "mud": "mud",
            "joint_stone": "joint stone",
            "aggregate": "aggregate of the surface: stop",
        },
    )
    water_used_l = models.FloatField("water used", null=True, blank=True)
    water_disposal = models.CharField(
        "water went to",
        max_length=14,
        blank=True,
        choices={
            "none": "no water used",
            "sanitary": "vacuumed, to sanitary by permit",
            "decant_yard": "decant yard",
            "ground": "to ground by owner's leave",
        },
    )
    spoil_to = models.CharField("spoil to, ticket", max_length=120, blank=True)
    before_tests: models.ManyToManyField = models.ManyToManyField(
        "registry.InfiltrationTest", blank=True, related_name="cleanings_after"
    )
    after_tests: models.ManyToManyField = models.ManyToManyField(
        "registry.InfiltrationTest", blank=True, related_name="cleanings_before"
    )
    damage = models.CharField("damage", max_length=240, blank=True)
    cost = models.DecimalField("cost", max_digits=12, decimal_places=2, null=True, blank=True)
    checked_by = models.CharField("checked by", max_length=120, blank=True)
    paid_on = models.DateField("paid on", null=True, blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)

    objects = CleaningQuerySet.as_manager()

    class Meta:
        ordering = ("-done_on", "-pk")
        indexes = (models.Index(fields=("pavement", "done_on")),)
        constraints = (
            void_has_reason("cleaning"),
            models.CheckConstraint(
                name="cleaning_amounts_are_not_negative",
                condition=(Q(area_m2__isnull=True) | Q(area_m2__gt=0))
                & (Q(debris_m3__isnull=True) | Q(debris_m3__gte=0))
                & (Q(water_used_l__isnull=True) | Q(water_used_l__gte=0)),
            ),
            models.CheckConstraint(
                name="cleaning_not_done_says_why",
                condition=Q(state__in=("done", "in_part")) | ~Q(why_not=""),
            ),
        )

    parts: "CleaningParts | None" = None
    """Set by `with_parts`."""

    def __str__(self) -> str:
        return self.number or f"{self.get_method_display()} {self.done_on}"

    def panels_told(self) -> tuple[frozenset[int], frozenset[int]]:
        """Return the ids of the panels it covered and of those it missed."""
        if self.parts is not None:
            return self.parts.covered, self.parts.missed
        rows = list(self.panels.all()) if self.pk else []
        covered = frozenset(row.panel_id for row in rows if not row.is_missed)
        return covered, frozenset(row.panel_id for row in rows if row.is_missed)

    def tests_named(self) -> tuple[frozenset[int], frozenset[int]]:
        """Return the ids of the tests named with it, before and after."""
        if self.parts is not None:
            return self.parts.before, self.parts.after
        before = frozenset(test.pk for test in self.before_tests.all())
        return before, frozenset(test.pk for test in self.after_tests.all())

    @property
    def method_class(self) -> str:
        """Return which of the four methods of the figures this counts as, or an empty string."""
        return CLASS_OF[self.method]

    @property
    def is_cleaning(self) -> bool:
        """Say whether dirt was taken away."""
        return self.state in (CleaningState.DONE, CleaningState.IN_PART)


class CleanedPanel(models.Model):
    """A panel that a cleaning covered, or missed and why."""

    cleaning = models.ForeignKey(Cleaning, on_delete=models.CASCADE, related_name="panels")
    panel = models.ForeignKey("registry.Panel", on_delete=models.PROTECT, related_name="cleaned")
    is_missed = models.BooleanField("missed", default=False)
    why = models.CharField("missed because", max_length=160, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("cleaning", "panel"), name="cleaned_panel_once"),
        )

    def __str__(self) -> str:
        return f"{self.panel}{' (missed)' if self.is_missed else ''}"


@dataclass(frozen=True)
class CleaningParts:
    """Ids of what is named with a cleaning: panels covered and missed, tests before and after."""

    covered: frozenset[int]
    missed: frozenset[int]
    before: frozenset[int]
    after: frozenset[int]


def with_parts(rows: Iterable[Cleaning]) -> list[Cleaning]:
    """Return cleanings with their `parts`, by one query; no test or panel itself is fetched."""
    found = list(rows)
    if not found:
        return found
    ids = [row.pk for row in found]
    panels = CleanedPanel.objects.filter(cleaning__in=ids)
    named = {
        "covered": (panels.filter(is_missed=False), "panel_id"),
        "missed": (panels.filter(is_missed=True), "panel_id"),
        "before": (_tests_named(Cleaning.before_tests, ids), "infiltrationtest_id"),
        "after": (_tests_named(Cleaning.after_tests, ids), "infiltrationtest_id"),
    }
    first, *others = (
        part.values_list(models.Value(name), "cleaning_id", other)
        for name, (part, other) in named.items()
    )
    sets: dict[tuple[str, int], set[int]] = defaultdict(set)
    for name, cleaning, other in first.union(*others, all=True):
        sets[name, cleaning].add(other)
    for row in found:
        row.parts = CleaningParts(**{n: frozenset(sets.get((n, row.pk), ())) for n in named})
    return found


def _tests_named(field: Any, ids: list[int]) -> models.QuerySet:
    return field.through.objects.filter(cleaning__in=ids)


def named_with(row: Cleaning) -> dict[str, Any]:
    """Return what is named with a stored cleaning, plain, as it travels with a form.

    covered, before, after are ids in order; missed are pairs of id and reason.
    """
    parts, before, after = together(
        row.panels.all(),
        _tests_named(Cleaning.before_tests, [row.pk]),
        _tests_named(Cleaning.after_tests, [row.pk]),
    )
    parts.sort(key=lambda part: part.panel_id)
    return {
        "covered": [part.panel_id for part in parts if not part.is_missed],
        "missed": [[part.panel_id, part.why] for part in parts if part.is_missed],
        "before": sorted(link.infiltrationtest_id for link in before),
        "after": sorted(link.infiltrationtest_id for link in after),
    }
