"""A month and day of every year, "03-01", and forms that store it as two columns."""

import re
from datetime import date
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.hours import ListsForm
from registry.models.entry import Change

MONTH_AND_DAY = re.compile(r"([0-9]{1,2})-?([0-9]{2})")
A_LEAP_YEAR = 2024
PARTS = ("month", "day")


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


class MonthDayForm(ListsForm):
    """A form with days of every year: for each of `ends` a field `<end>_written`.

    It stores them in the columns `<end>_month` and `<end>_day`.
    """

    ends: ClassVar[tuple[str, ...]] = ()

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        names = [f"{end}_{part}" for end in self.ends for part in PARTS]
        self.days_before = {name: getattr(self.instance, name) for name in names}
        for end in self.ends:
            month, day = (self.days_before[f"{end}_{part}"] for part in PARTS)
            if month is not None and day is not None:
                self.initial.setdefault(f"{end}_written", f"{month:02d}-{day:02d}")

    def clean(self) -> dict[str, Any]:
        """Take the days as written."""
        cleaned = super().clean()
        for end in self.ends:
            if (written := cleaned.get(f"{end}_written")) is not None:
                for part, value in zip(PARTS, written, strict=True):
                    setattr(self.instance, f"{end}_{part}", value)
        return cleaned

    def changes(self) -> dict[str, Change]:
        """Return the corrections of a valid form, its days among them."""
        found = super().changes()
        for name, old in self.days_before.items():
            new = getattr(self.instance, name)
            if new != old:
                found[name] = Change(new, "", seen=old, is_seen_known=True)
        return found
