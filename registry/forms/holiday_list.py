"""The form of a contract's holiday list."""

from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.hours import ListsForm
from registry.forms.open_fields import LinesField
from registry.forms.quantity import DayField
from registry.models import HolidayList
from registry.models.holiday_list import NO_DAY_OF_REST, REST_CHOICES, WEEK, rest_in_words


class HolidaysField(LinesField):
    """Holidays, "2024-05-27 spring holiday" one a line."""

    def read_line(self, line: str) -> list[str]:
        """Return day and name."""
        day, _, name = line.partition(" ")
        found = DayField().clean(day)
        if found is None:
            raise ValidationError("Begin with the day, 2024-05-27.")
        return [found.isoformat(), name.strip()[:80]]

    def write_line(self, stored: Any) -> str:
        """Return the line of a stored holiday."""
        return " ".join(part for part in stored if part)

    def clean(self, value: Any) -> list[Any]:
        """Read line by line; one day stands once."""
        rows = sorted(super().clean(value))
        days = [day for day, _ in rows]
        if twice := sorted({day for day in days if days.count(day) > 1}):
            raise ValidationError(f"{', '.join(twice)} stands twice.")
        return rows


def holidays_in_words(rows: Any) -> str:
    """Return stored holidays as a line tells of them."""
    return "; ".join(" ".join(part for part in row if part) for row in rows or ())


class HolidayListForm(ListsForm):
    """A name, its holidays, and the days of the week on which nobody works."""

    parent_name: ClassVar[str] = "organisation"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "name"})
    said = {"days": holidays_in_words, "rest_days": rest_in_words}
    days = HolidaysField(
        label="holidays, one a line",
        help_text="2024-05-27 and its name. Days that are not here count as working days.",
    )
    rest_days = forms.TypedMultipleChoiceField(
        label="days of rest in the week",
        help_text="As the contract says. No day is taken for granted.",
        choices=REST_CHOICES,
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "Tick the contract’s days of rest, or “no weekly day of rest”: limits in "
            "working days are counted by them."
        },
    )

    class Meta:
        model = HolidayList
        fields = ("name", "days", "rest_days", "note")

    def clean_rest_days(self) -> list[int]:
        """Refuse a week without a working day, and a day of rest beside "no weekly day of rest"."""
        days: list[int] = self.cleaned_data["rest_days"]
        if NO_DAY_OF_REST in days and len(days) > 1:
            raise ValidationError("Tick either days of rest or “no weekly day of rest”, not both.")
        if len(days) == len(WEEK):
            raise ValidationError("A contract has at least one working day a week.")
        return days
