"""Which years of placing are looked at, and callbacks of which cause."""

from collections.abc import Iterable
from typing import Any

from django import forms

from registry.models import PanelFinding

USUAL_SPAN = 3


class PlacingYearsForm(forms.Form):
    """From a year to a year, the newest three without a choice; with a wrong one the same.

    `years` are those in which something was placed, oldest first.
    """

    since = forms.TypedChoiceField(label="placed from", coerce=int, required=False)
    until = forms.TypedChoiceField(label="to", coerce=int, required=False)
    cause = forms.ChoiceField(
        label="callbacks",
        required=False,
        help_text="A cause counts where a finding says shown or likely, whoever found it.",
    )

    def __init__(self, *args: Any, years: Iterable[int], **options: Any) -> None:
        super().__init__(*args, **options)
        self.years = list(years)
        listed = [(str(year), str(year)) for year in self.years]
        self.fields["since"].choices = [("", "the newest three years"), *listed]
        self.fields["until"].choices = [("", "the newest year"), *listed]
        causes = PanelFinding._meta.get_field("cause").flatchoices
        self.fields["cause"].choices = [("", "of every cause"), *causes]

    def clean(self) -> dict[str, Any]:
        """Refuse a span that ends before it begins."""
        cleaned = super().clean() or {}
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and until < since:
            self.add_error("until", "This year lies before the first one.")
        return cleaned

    def span(self) -> tuple[int, int] | None:
        """Return the first and the last year; None where nothing was ever placed."""
        if not self.years:
            return None
        chosen = self.cleaned_data if self.is_valid() else {}
        until = chosen.get("until") or self.years[-1]
        return chosen.get("since") or min(until, self.years[-1] - USUAL_SPAN + 1), until

    def cause_chosen(self) -> str:
        """Return the code of a cause, "" for all."""
        return str(self.cleaned_data["cause"]) if self.is_valid() else ""
