"""The form of a contract's holiday list."""

from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.hours import ListsForm
from registry.forms.open_fields import LinesField
from registry.forms.quantity import DayField
from registry.models import HolidayList

WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


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


def rest_in_words(days: Any) -> str:
    """Return stored days of rest as a line tells of them."""
    return ", ".join(WEEK[int(day)] for day in days or ())


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
        choices=list(enumerate(WEEK)),
        coerce=int,
        required=False,
        initial=[5, 6],
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = HolidayList
        fields = ("name", "days", "rest_days", "note")
