"""Fields for hours of the week, breaks, methods and plain lists, and how a line tells of them."""

from collections.abc import Callable
from datetime import time
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.clock_hours import read_clocks, read_hours, write_clocks, write_hours
from registry.faults import DomainError
from registry.forms.entry import PartForm
from registry.forms.open_fields import LinesField
from registry.models import CleaningMethod

HOURS_HELP = "One span a line: Mon-Fri 07:00-15:00, or Sun. Clock times are those at the place."


class HoursField(LinesField):
    """Days and hours, one span a line; cleans to rows of [weekday, from, to]."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("help_text", HOURS_HELP)
        super().__init__(**options)

    def read_line(self, line: str) -> list[list[int | str]]:
        """Return the rows of a line."""
        try:
            return read_hours(line)
        except DomainError as fault:
            raise ValidationError(fault.message) from fault

    def clean(self, value: Any) -> list[Any]:
        """Read line by line; no row stands twice."""
        rows = [row for found in super().clean(value) for row in found]
        return [row for nth, row in enumerate(rows) if row not in rows[:nth]]

    def prepare_value(self, value: Any) -> Any:
        """Show stored rows as lines."""
        return "\n".join(write_hours(value)) if isinstance(value, list) else value


class BreaksField(LinesField):
    """Breaks, "12:00-12:30" one a line."""

    def read_line(self, line: str) -> list[str]:
        """Return from and to."""
        try:
            return list(read_clocks(line))
        except DomainError as fault:
            raise ValidationError(fault.message) from fault

    def write_line(self, stored: Any) -> str:
        """Return the line of a stored break."""
        return write_clocks(*stored)


class WordsField(LinesField):
    """Plain words, one a line."""

    def read_line(self, line: str) -> str:
        """Return the line."""
        return line

    def write_line(self, stored: Any) -> str:
        """Return the line."""
        return str(stored)


class ClockTimeField(forms.TimeField):
    """A clock time, "07:00" or, from a keypad without a colon, "0700"."""

    def __init__(self, **options: Any) -> None:
        super().__init__(input_formats=["%H:%M", "%H%M"], **options)
        self.widget = forms.TimeInput(
            format="%H:%M",
            attrs={"inputmode": "numeric", "autocomplete": "off", "placeholder": "hh:mm"},
        )

    def prepare_value(self, value: Any) -> Any:
        """Show a stored time the way it is written."""
        return f"{value:%H:%M}" if isinstance(value, time) else value


def methods_field(label: str, *, required: bool = False) -> forms.MultipleChoiceField:
    """Return ticks for methods of cleaning."""
    return forms.MultipleChoiceField(
        label=label,
        choices=CleaningMethod.choices,
        required=required,
        widget=forms.CheckboxSelectMultiple,
    )


def methods_in_words(codes: Any) -> str:
    """Return stored methods as a line tells of them."""
    return ", ".join(str(CleaningMethod(code).label) for code in codes or ())


def hours_in_words(rows: Any) -> str:
    """Return stored hours as a line tells of them."""
    return "; ".join(write_hours(rows or ()))


def breaks_in_words(rows: Any) -> str:
    """Return stored breaks as a line tells of them."""
    return "; ".join(write_clocks(*row) for row in rows or ())


def words_in_words(rows: Any) -> str:
    """Return stored words as a line tells of them."""
    return ", ".join(rows or ())


class ListsForm(PartForm):
    """A PartForm with lists: `said` names how a correction line tells of each."""

    parent_name: ClassVar[str] = "organisation"
    said: ClassVar[dict[str, Callable[[Any], str]]] = {}

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        if name in self.said:
            say = self.said[name]
            return say(old), say(self.cleaned_data[name])
        return super()._line(name, old)


class PlaceForm(ListsForm):
    """A place of an organisation to which its crews drive."""

    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "lon": (-180, 180),
        "lat": (-90, 90),
    }
    said = {"hours": hours_in_words}
    hours = HoursField(label="open, days and hours")

    def clean(self) -> dict[str, Any]:
        """Refuse half a position."""
        cleaned = super().clean()
        if (cleaned.get("lon") is None) != (cleaned.get("lat") is None):
            self.add_error("lat", "A position needs both longitude and latitude.")
        return cleaned
