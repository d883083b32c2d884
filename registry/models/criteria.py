"""Design criteria: dated sets, each with its source document."""

from typing import Self

from django.db import models
from django.db.models import Q

from registry.measuring.unit_slips import intensity_slip, level_slip
from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class CriteriaQuerySet(DatedQuerySet):
    """Sets of criteria by time."""

    def overlapping(self, row: "Criteria") -> Self:
        """Return other standing sets for the same part that hold on a day of this one."""
        others = self.standing().filter(pavement=row.pavement_id, section=row.section_id)
        if row.to_on is not None:
            others = others.filter(Q(from_on__isnull=True) | Q(from_on__lt=row.to_on))
        if row.from_on is not None:
            others = others.filter(Q(to_on__isnull=True) | Q(to_on__gt=row.from_on))
        return others.exclude(pk=row.pk) if row.pk else others


class Criteria(Entry):
    """What a pavement has to do, from and to a day. Rates in mm/h."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="criteria"
    )
    section = models.ForeignKey(
        "registry.Section", on_delete=models.PROTECT, null=True, blank=True, related_name="criteria"
    )
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)
    source_document = models.CharField("permit, contract or house rule", max_length=200)
    purpose = models.CharField(
        "purpose",
        max_length=8,
        blank=True,
        choices={
            "full": "full infiltration into soil",
            "partial": "partial infiltration into soil",
            "none": "no infiltration into soil",
        },
    )
    storm_return_yr = models.FloatField(
        "design storm, return period in years", null=True, blank=True
    )
    storm_duration_h = models.FloatField("design storm, hours", null=True, blank=True)
    storm_depth_mm = models.FloatField("design storm, depth", null=True, blank=True)
    intensity_mm_h = models.FloatField("design intensity for the surface", null=True, blank=True)
    intensity_source = models.CharField(
        "intensity from: station, volume, date read", max_length=200, blank=True
    )
    floor_mm_h = models.FloatField("floor of the action level", null=True, blank=True)
    factor = models.FloatField("factor on the required rate", null=True, blank=True)
    required_rate_mm_h = models.FloatField("required rate", null=True, blank=True)
    action_rate_mm_h = models.FloatField("action level", null=True, blank=True)
    action_rate_is_given = models.BooleanField(
        "the action level is written in the document", default=False
    )
    run_on_is_assumed = models.BooleanField("run-on assumed", default=False)
    acceptance_rule = models.CharField(
        "acceptance rule",
        max_length=8,
        blank=True,
        choices={"lowest": "lowest of each lot", "mean": "mean of each lot"},
    )
    acceptance_rate_mm_h = models.FloatField("acceptance rate", null=True, blank=True)
    acceptance_tests_per_lot = models.PositiveIntegerField("tests per lot", null=True, blank=True)
    drawdown_limit_h = models.PositiveIntegerField(
        "drawdown limit", null=True, blank=True, choices={24: "24 h", 48: "48 h", 72: "72 h"}
    )
    credited_area_m2 = models.FloatField("credited area", null=True, blank=True)
    credited_storage_m3 = models.FloatField("credited storage", null=True, blank=True)
    tests_per_visit = models.PositiveIntegerField("tests per visit", null=True, blank=True)
    test_interval_months = models.PositiveIntegerField(
        "test interval, months", null=True, blank=True
    )
    statement_due_month = models.PositiveSmallIntegerField(
        "statement due, month", null=True, blank=True
    )
    statement_due_day = models.PositiveSmallIntegerField(
        "statement due, day", null=True, blank=True
    )
    first_due_rule = models.CharField("rule for the first statement", max_length=200, blank=True)

    objects = CriteriaQuerySet.as_manager()

    class Meta:
        ordering = ("from_on", "pk")
        verbose_name_plural = "criteria"
        constraints = (
            void_has_reason("criteria"),
            from_before_to("criteria"),
            models.CheckConstraint(
                name="criteria_rates_are_positive",
                condition=(Q(action_rate_mm_h__isnull=True) | Q(action_rate_mm_h__gt=0))
                & (Q(intensity_mm_h__isnull=True) | Q(intensity_mm_h__gt=0)),
            ),
        )

    def __str__(self) -> str:
        return self.source_document

    @staticmethod
    def unit_question(name: str, mm_h: float) -> str:
        """Return what to ask of a rate that only the other unit would make likely, else "".

        name: "action_rate_mm_h" or "intensity_mm_h"
        """
        slip = (intensity_slip if name == "intensity_mm_h" else level_slip)(mm_h)
        return f"{slip.message} {slip.mend}" if slip else ""

    @property
    def overlap_words(self) -> str:
        """Say that this set holds on days that another one asks for, and what can be done."""
        begin = f"from {self.from_on:%Y-%m-%d}" if self.from_on else "from the first day"
        end = f"to {self.to_on:%Y-%m-%d}" if self.to_on else "with no end"
        return (
            f"“{self.source_document}” holds {begin} {end}. Two sets cannot hold on one day: end "
            "that one on the day this one begins, or give this one other days."
        )
