"""An instant as people write it: a clock on a day that is known, or day and clock."""

import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.quantity import ClockField, DayField, MarkedEmpty, join_clock
from registry.units import read_empty

_CLOCK = re.compile(r"([01]?\d|2[0-3]):[0-5]\d(:[0-5]\d)?([+-]\d\d:?\d\d|[zZ])?|24:00")
FOLDS = {"first": "first", "1st": "first", "second": "second", "2nd": "second"}


@dataclass(frozen=True)
class WrittenInstant:
    """An instant, with its text."""

    text: str
    at: datetime


class InstantField(forms.CharField):
    """ "06:12" on the day of the form, or "2023-08-29 08:00"; clock times are those at the place.

    Cleans to WrittenInstant, MarkedEmpty or None. An hour that comes twice in autumn is written
    with "first" or "second" behind it; without, it is asked.
    """

    def __init__(self, *, zone: str, day: date | None, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(max_length=30, **options)
        self.zone, self.day = zone, day
        holder = "hh:mm" if day is not None else "yyyy-mm-dd hh:mm"
        self.widget.attrs.update(autocomplete="off", placeholder=holder)
        if day is not None and not self.help_text:
            self.help_text = f"on {day:%Y-%m-%d}, unless you write another day before it"

    def clean(self, value: Any) -> WrittenInstant | MarkedEmpty | None:
        """Read the text."""
        text = super().clean(value)
        if not text:
            return None
        if (code := read_empty(text)) is not None:
            return MarkedEmpty(code)
        words = text.replace("T", " ").split()
        fold = FOLDS.get(words[-1].casefold(), "")
        if fold:
            words = words[:-1]
        if not words or len(words) > 2:
            raise ValidationError(f"“{text}” is no clock time. Write 14:05, or 2023-08-29 14:05.")
        clock = ClockField(max_length=30).clean(words[-1])
        if _CLOCK.fullmatch(clock) is None:
            raise ValidationError(f"“{words[-1]}” is no clock time. Write 14:05.")
        day = DayField().clean(words[0]) if len(words) == 2 else self.day
        if day is None:
            raise ValidationError("Say the day too: 2023-08-29 14:05.")
        return WrittenInstant(text, join_clock(day, clock, self.zone, fold))

    def shown(self, at: datetime) -> str:
        """Return a stored instant as it is offered for correction."""
        local = at.astimezone(ZoneInfo(self.zone))
        second = " second" if local.fold else ""
        clock = f"{local:%H:%M}{second}"
        return clock if local.date() == self.day else f"{local:%Y-%m-%d} {clock}"
