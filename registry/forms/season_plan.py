"""How many months of a season are shown."""

from django import forms

USUAL, FEWEST, MOST = 6, 3, 12


class SeasonSpanForm(forms.Form):
    """A number of months, that of today first; without one, or with a wrong one, the usual six."""

    months = forms.IntegerField(
        label="months ahead", min_value=FEWEST, max_value=MOST, required=False, initial=USUAL
    )

    def asked(self) -> int:
        """Return how many months to show."""
        return (self.cleaned_data.get("months") or USUAL) if self.is_valid() else USUAL
