"""The form of how often a permit asks for cleaning."""

from typing import Any, ClassVar

from registry.forms.hours import methods_field, methods_in_words
from registry.forms.month_day import MonthDayField, MonthDayForm
from registry.models import PermitMinimum


class PermitMinimumForm(MonthDayForm):
    """Cleanings a year, by whom it was set, by which document, from when to when."""

    parent_name: ClassVar[str] = "pavement"
    ends = ("begins",)
    plain: ClassVar[frozenset[str]] = frozenset({"note", "set_by", "source_document"})
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "times": (1, 52),
        "days_between": (0, 365),
    }
    said = {"methods": methods_in_words}
    groups = (
        ("By whom, from when", ("set_by", "source_document", "from_on", "to_on")),
        ("How often", ("times", "begins_written", "days_between", "methods")),
    )
    begins_written = MonthDayField(
        label="the year begins on, month and day", help_text="01-01 is a calendar year"
    )
    methods = methods_field("methods that count; none ticked: all that take dirt away")

    class Meta:
        model = PermitMinimum
        fields = (
            "set_by", "source_document", "times", "days_between", "methods", "from_on", "to_on",
            "note",
        )  # fmt: skip
        help_texts = {
            "days_between": "two cleanings closer together count as one",
            "to_on": "the first day on which it no longer holds",
        }

    def clean(self) -> dict[str, Any]:
        """Refuse more cleanings than fit into a year."""
        cleaned = super().clean()
        times, between = cleaned.get("times"), cleaned.get("days_between")
        if isinstance(times, int) and isinstance(between, int) and times * between > 365:
            words = f"{times} cleanings {between} days apart do not fit into a year."
            self.add_error("days_between", words)
        return cleaned
