"""The form of a row of the calendar of seasons."""

import re
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.hours import ListsForm, methods_field, methods_in_words
from registry.models import Season
from registry.models.entry import Change

MONTH_AND_DAY = re.compile(r"([0-9]{1,2})-?([0-9]{2})")
A_LEAP_YEAR = 2024
ENDS = ("from", "to")
DAYS = tuple(f"{end}_{part}" for end in ENDS for part in ("month", "day"))


class MonthDayField(forms.CharField):
    """A month and day, "03-01"; cleans to (3, 1)."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=5, **options)
        self.widget.attrs.update(inputmode="numeric", autocomplete="off", placeholder="mm-dd")

    def clean(self, value: Any) -> tuple[int, int] | None:
        """Read month and day."""
        text = super().clean(value)
        found = MONTH_AND_DAY.fullmatch(text)
        try:
            month, day = (int(part) for part in found.groups()) if found else (0, 0)
            date(A_LEAP_YEAR, month, day)
        except ValueError:
            raise ValidationError("Write month and day: 03-01 is the first of March.") from None
        return month, day


class SeasonForm(ListsForm):
    """A span of the year, what is for it and what is not, and why."""

    plain = frozenset({"note", "climate", "to_do", "not_to_do", "reason"})
    said = {"methods": methods_in_words, "methods_not": methods_in_words}
    groups = (
        ("When", ("climate", "name", "from_written", "to_written")),
        ("What", ("methods", "methods_not", "to_do", "not_to_do", "reason")),
    )
    from_written = MonthDayField(label="from, month and day")
    to_written = MonthDayField(label="to, month and day")
    methods = methods_field("methods for this season")
    methods_not = methods_field("methods not in this season")

    class Meta:
        model = Season
        fields = (
            "climate", "name", "methods", "methods_not", "to_do", "not_to_do", "reason", "note",
        )  # fmt: skip

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.days_before = {name: getattr(self.instance, name) for name in DAYS}
        if self.is_correction:
            for end in ENDS:
                month, day = (self.days_before[f"{end}_{part}"] for part in ("month", "day"))
                self.initial[f"{end}_written"] = f"{month:02d}-{day:02d}"

    def clean(self) -> dict[str, Any]:
        """Take the days as written; a method is not both for a season and not."""
        cleaned = super().clean()
        for end in ENDS:
            if (written := cleaned.get(f"{end}_written")) is not None:
                month, day = written
                setattr(self.instance, f"{end}_month", month)
                setattr(self.instance, f"{end}_day", day)
        both = set(cleaned.get("methods") or ()) & set(cleaned.get("methods_not") or ())
        if both:
            self.add_error("methods_not", f"For this season or not? {methods_in_words(both)}.")
        return cleaned

    def changes(self) -> dict[str, Change]:
        """Return the corrections of a valid form, its days among them."""
        found = super().changes()
        for name, old in self.days_before.items():
            new = getattr(self.instance, name)
            if new != old:
                found[name] = Change(new, "", seen=old, is_seen_known=True)
        return found
