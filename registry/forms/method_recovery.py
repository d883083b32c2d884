"""Over which time cleanings are put together."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any

from django import forms

LAST_YEAR = "last"
DAYS = 365


class RecoverySpanForm(forms.Form):
    """The last twelve months, or a calendar year. Without a choice, or with none known: the first.

    `years` are those in which something was cleaned.
    """

    span = forms.ChoiceField(label="cleaned in", required=False)

    def __init__(self, *args: Any, years: Iterable[int], today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.today = today
        words = [(LAST_YEAR, "the last twelve months")]
        self.fields["span"].choices = [*words, *((str(y), str(y)) for y in years)]

    def days(self) -> tuple[date, date]:
        """Return the first and the last day that count."""
        chosen = self.cleaned_data.get("span") if self.is_valid() else ""
        if not chosen or chosen == LAST_YEAR:
            return self.today - timedelta(days=DAYS - 1), self.today
        return date(int(chosen), 1, 1), date(int(chosen), 12, 31)
