"""The form of a row of the calendar of seasons."""

from typing import Any

from django import forms

from registry.forms.hours import methods_field, methods_in_words
from registry.forms.month_day import MonthDayField, MonthDayForm
from registry.models import Season
from registry.models.season_day import FACTS

MOVED = ("begins_after", "begins_at", "ends_at")


def facts_in_words(codes: Any) -> str:
    """Return what moves a season as a line tells of it."""
    return ", ".join(FACTS[code] for code in codes or ())


def facts_field(label: str, help_text: str) -> forms.MultipleChoiceField:
    """Return ticks for what is dated once a year."""
    return forms.MultipleChoiceField(
        label=label,
        choices=list(FACTS.items()),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=help_text,
    )


class SeasonForm(MonthDayForm):
    """A span of the year, what is for it and what is not, and why."""

    ends = ("from", "to")
    plain = frozenset({"note", "climate", "to_do", "not_to_do", "reason"})
    said = {
        "methods": methods_in_words,
        "methods_not": methods_in_words,
        **dict.fromkeys(MOVED, facts_in_words),
    }
    groups = (
        ("When", ("climate", "name", "from_written", "to_written")),
        ("What moves it, in a year in which it is dated", MOVED),
        ("What", ("methods", "methods_not", "to_do", "not_to_do", "reason")),
    )
    from_written = MonthDayField(label="from, month and day")
    to_written = MonthDayField(label="to, month and day")
    begins_after = facts_field("begins on the day after", "after the latest of those ticked")
    begins_at = facts_field("begins with", "")
    ends_at = facts_field("ends with", "with the latest of those ticked")
    methods = methods_field("methods for this season")
    methods_not = methods_field("methods not in this season")

    class Meta:
        model = Season
        fields = (
            "climate", "name", *MOVED, "methods", "methods_not", "to_do", "not_to_do", "reason",
            "note",
        )  # fmt: skip
        help_texts = {
            "climate": "a site that names a climate is read by the seasons of that name",
        }

    def clean(self) -> dict[str, Any]:
        """Take the days as written; a method is not both for a season and not."""
        cleaned = super().clean()
        both = set(cleaned.get("methods") or ()) & set(cleaned.get("methods_not") or ())
        if both:
            self.add_error("methods_not", f"For this season or not? {methods_in_words(both)}.")
        return cleaned
