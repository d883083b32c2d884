"""The form of a set of design criteria."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from registry.forms.entry import Groups, PartForm
from registry.models import Criteria
from registry.models.entry import Change
from registry.units import Kind


class CriteriaForm(PartForm):
    """What a pavement has to do from a day on, by which document."""

    quantities = {
        "storm_depth_mm": Kind.SMALL_LENGTH,
        "intensity_mm_h": Kind.INTENSITY,
        "floor_mm_h": Kind.RATE,
        "required_rate_mm_h": Kind.RATE,
        "action_rate_mm_h": Kind.RATE,
        "acceptance_rate_mm_h": Kind.RATE,
        "credited_area_m2": Kind.AREA,
        "credited_storage_m3": Kind.VOLUME,
    }
    ranges = {"statement_due_month": (1, 12), "statement_due_day": (1, 31)}
    groups: Groups = (
        ("From when, by what", ("source_document", "section", "from_on", "to_on", "ends_old")),
        (
            "What the water needs",
            (
                "purpose",
                "intensity_mm_h",
                "intensity_source",
                "storm_return_yr",
                "storm_duration_h",
                "storm_depth_mm",
                "run_on_is_assumed",
            ),
        ),
        ("Rates", ("action_rate_mm_h", "required_rate_mm_h", "floor_mm_h", "factor")),
        ("Acceptance", ("acceptance_rule", "acceptance_rate_mm_h", "acceptance_tests_per_lot")),
        ("Storage", ("drawdown_limit_h", "credited_area_m2", "credited_storage_m3")),
        (
            "Tests and statements",
            (
                "tests_per_visit",
                "test_interval_months",
                "statement_due_month",
                "statement_due_day",
                "first_due_rule",
            ),
        ),
    )
    ends_old = forms.BooleanField(
        label="the set before ends on the day this one begins", required=False
    )
    level_is_meant = forms.BooleanField(
        label="the action level is right as written, in that unit", required=False
    )
    intensity_is_meant = forms.BooleanField(
        label="the design intensity is right as written, in that unit", required=False
    )
    ASKED = (("action_rate_mm_h", "level_is_meant"), ("intensity_mm_h", "intensity_is_meant"))

    class Meta:
        model = Criteria
        fields = (
            "source_document",
            "section",
            "from_on",
            "to_on",
            "purpose",
            "intensity_mm_h",
            "intensity_source",
            "storm_return_yr",
            "storm_duration_h",
            "storm_depth_mm",
            "run_on_is_assumed",
            "action_rate_mm_h",
            "required_rate_mm_h",
            "floor_mm_h",
            "factor",
            "acceptance_rule",
            "acceptance_rate_mm_h",
            "acceptance_tests_per_lot",
            "drawdown_limit_h",
            "credited_area_m2",
            "credited_storage_m3",
            "tests_per_visit",
            "test_interval_months",
            "statement_due_month",
            "statement_due_day",
            "first_due_rule",
            "note",
        )
        help_texts = {
            "action_rate_mm_h": "Only if the document says it; else it is worked out from the "
            "required rate, the factor and the floor.",
            "required_rate_mm_h": "Only if the document says it and the intensity is not known.",
            "floor_mm_h": "Blank: 10 in/h (254 mm/h), the house rule.",
            "run_on_is_assumed": "Tick where nobody walked the run-on area in the rain or levelled "
            "it.",
            "factor": "Blank: 2, the house rule.",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        # Each comes back where it is asked.
        self.meant_boxes = {name: self.fields.pop(box) for name, box in self.ASKED}
        if self.is_correction:
            del self.fields["ends_old"]
            self.groups = tuple(
                (legend, tuple(n for n in names if n != "ends_old"))
                for legend, names in self.groups
            )

    @classmethod
    def rows(cls, parent: models.Model) -> models.QuerySet:
        """Return the sets of a pavement, each with the section it is for."""
        return super().rows(parent).select_related("section")

    def clean(self) -> dict[str, Any]:
        """Refuse a due day that no year has, and days on which another set holds."""
        cleaned = super().clean()
        month, day = cleaned.get("statement_due_month"), cleaned.get("statement_due_day")
        if (month is None) != (day is None):
            self.add_error("statement_due_day", "A due day needs both its month and its day.")
        if month and day and not _is_day_of(month, day):
            self.add_error("statement_due_day", "That month has no such day.")
        if cleaned.get("ends_old") and not cleaned.get("from_on"):
            self.add_error("from_on", "Say from which day, so that the set before can end then.")
        for name, box in self.ASKED:
            self._ask_about_unit(name, box, cleaned.get(name))
        return cleaned

    def _ask_about_unit(self, name: str, box: str, mm_h: float | None) -> None:
        """Ask where the other unit would be likelier: every word on a page hangs on these two.

        What stood there before a correction is not asked about.
        """
        if name not in self.changed_data or not mm_h or mm_h < 0:
            return
        question = Criteria.unit_question(name, mm_h)
        if not question:
            return
        self.fields[box] = self.meant_boxes[name]
        self.groups = tuple(
            (legend, (*names, box) if name in names else names) for legend, names in self.groups
        )
        if not self[box].data:
            self.add_error(name, f"{question} If it is right as written, say so below.")

    def _post_clean(self) -> None:
        super()._post_clean()
        self.instance.action_rate_is_given = self.instance.action_rate_mm_h is not None
        if self.errors or self.cleaned_data.get("ends_old"):
            return
        other = Criteria.objects.overlapping(self.instance).first()
        if other is not None:
            self.add_error("from_on", ValidationError(other.overlap_words))

    def extras(self) -> dict[str, Any]:
        """Return whether the set before is to end."""
        return {} if self.is_correction else {"ends_old": self.cleaned_data["ends_old"]}

    def changes(self) -> dict[str, Change]:
        """Return the corrections; a level that is written is one that the document gives."""
        found = super().changes()
        if "action_rate_mm_h" in found:
            given = found["action_rate_mm_h"].value is not None
            found["action_rate_is_given"] = Change(given, "")
        return found


def _is_day_of(month: int, day: int) -> bool:
    try:
        date(2023, int(month), int(day))
    except ValueError:
        return False
    return True
