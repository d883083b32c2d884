"""The form of what an organisation says of itself."""

from django import forms

from registry.forms.site import zone_choices
from registry.models import Organisation
from registry.models.choices import ReadingSystem


class OrganisationForm(forms.Form):
    """Local time, units of its sheets, where notices reach it."""

    time_zone = forms.ChoiceField(
        label="local time",
        choices=zone_choices,
        help_text="It rules the days of its crews, calendars and of spreadsheets that name no "
        "other. A site keeps its own.",
        error_messages={"required": "Choose the place whose clocks go as yours."},
    )
    system = forms.ChoiceField(label="units on its sheets", choices=ReadingSystem.choices)
    email = forms.EmailField(label="e-mail for notices", required=False)
    address = forms.CharField(
        label="address",
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @classmethod
    def shown(cls, row: Organisation) -> dict[str, str]:
        """Return what stands in the form at first."""
        return {name: getattr(row, name) for name in cls.base_fields}
