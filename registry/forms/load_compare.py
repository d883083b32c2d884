"""What is compared with what on the page of loads and panels: late loads, a winter zone."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.faults import DomainError
from registry.forms.open_fields import NumberField
from registry.models import PlacingDay
from registry.models.panel_names import read_names


class LoadCompareForm(forms.Form):
    """Minutes over which a cover counts as late, and the panels of the plow or salt zone."""

    late = NumberField(
        least=0,
        most=600,
        label="late is over, minutes to cover",
        help_text="Left blank: 25 min, and beside it the limit of the day where there is one.",
        takes_empties=False,
    )
    zone = forms.CharField(
        label="plow or salt zone",
        max_length=200,
        required=False,
        help_text="Such as C11, D7-D11. Left blank: as seen at a callback’s panels, else the log.",
    )

    day = forms.ChoiceField(label="loads of", required=False)
    look = forms.ChoiceField(label="raveled shares of", required=False)
    field_order = ("day", "look", "late", "zone")

    def __init__(
        self,
        *args: Any,
        names: Sequence[str],
        days: Sequence[PlacingDay] = (),
        looks: Sequence[tuple[str, str]] = (),
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.names = names
        chosen = [(str(day.pk), f"{day.placed_on:%Y-%m-%d} alone") for day in days]
        self.fields["day"].choices = [("", "all days of this concrete"), *chosen]
        self.fields["look"].choices = [("", "the first look at enough loads"), *looks]

    def clean_zone(self) -> list[str]:
        """Read the panels."""
        text = self.cleaned_data["zone"]
        try:
            return read_names(text, self.names) if text else []
        except DomainError as fault:
            raise ValidationError(fault.message) from fault

    @property
    def late_min(self) -> float | None:
        """Return the minutes chosen, None where the limits of every page and dossier count."""
        written = self.cleaned_data.get("late") if self.is_valid() else None
        return None if written is None else written.value

    @property
    def look_chosen(self) -> str:
        """Return the key of the look chosen, "" where none or a wrong one was."""
        return str(self.cleaned_data["look"]) if self.is_valid() else ""

    @property
    def zone_named(self) -> list[str]:
        """Return the panels chosen."""
        return list(self.cleaned_data["zone"]) if self.is_valid() else []
