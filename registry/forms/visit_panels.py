"""Panels walked and not seen: "all but A3 and A4, because of cars"."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from registry.forms.open_fields import LinesField
from registry.forms.row_choice import PanelsField
from registry.models import Panel


class WalkedForm(forms.Form):
    """Which panels were not seen and why; the rest walked, if that is so. Sent as often as needed.

    `told` is what the visit says already: panel id -> "" walked, or why it was not seen.
    """

    unseen = PanelsField(
        label="panels not seen",
        queryset=None,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    why = forms.CharField(label="not seen because", max_length=160, required=False)
    rest_walked = forms.BooleanField(label="all other panels were walked", required=False)

    def __init__(
        self, *args: Any, panels: Sequence[Panel], told: Mapping[int, str], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.panels, self.told = panels, told
        rows = Panel.objects.filter(pk__in=[panel.pk for panel in panels])
        self.fields["unseen"].queryset = rows
        self.fields["unseen"].choices = [(panel.pk, panel.name) for panel in panels]

    def clean(self) -> dict[str, Any]:
        """Ask why, and refuse a form that says nothing."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("unseen") and not cleaned.get("why"):
            self.add_error("why", "Say why these panels were not seen.")
        if cleaned.get("why") and not cleaned.get("unseen"):
            self.add_error("unseen", "Which panels were not seen?")
        if not (cleaned.get("unseen") or cleaned.get("rest_walked")):
            self.add_error(None, "Say which panels were not seen, or that all were walked.")
        return cleaned

    def unseen_panels(self) -> dict[Panel, str]:
        """Return the panels not seen, with why."""
        return dict.fromkeys(self.cleaned_data["unseen"], self.cleaned_data["why"])

    def walked_panels(self) -> list[Panel]:
        """Return the others, those said to be not seen before left as they are."""
        if not self.cleaned_data["rest_walked"]:
            return []
        out = {panel.pk for panel in self.cleaned_data["unseen"]}
        out |= {pk for pk, why in self.told.items() if why}
        return [panel for panel in self.panels if panel.pk not in out]


class UnseenLinesField(LinesField):
    """Panels not seen as the sheet has them, one reason a line: "A3 A4: cars"."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.panels: Mapping[str, Panel] = {}
        self.help_text = "one reason a line: A3 A4: cars"

    def read_line(self, line: str) -> tuple[list[Panel], str]:
        """Return the panels and the reason of a line."""
        names, colon, why = line.partition(":")
        if not (colon and why.strip()):
            raise forms.ValidationError("write the panels, a colon and why: A3 A4: cars.")
        found = []
        for name in names.replace(",", " ").split():
            panel = self.panels.get(name.upper())
            if panel is None:
                raise forms.ValidationError(f"{name} is no panel of this sheet's plan.")
            found.append(panel)
        if not found:
            raise forms.ValidationError("no panel is named.")
        return found, why.strip()

    def write_line(self, stored: Any) -> str:
        """Return the line of a reason."""
        panels, why = stored
        return f"{' '.join(panel.name for panel in panels)}: {why}"
