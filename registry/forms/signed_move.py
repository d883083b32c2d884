"""The form of a move: what may follow, the day, who signs, and the way back with its reason."""

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms

from registry.forms.quantity import DayField

MOST_WHY = 280


class SignedMoveForm(forms.Form):
    """A move to one of `following`, or back to one of `earlier`; `words` are the labels."""

    to = forms.ChoiceField(label="to")
    on = DayField(label="on")
    signed_by = forms.CharField(label="signed", max_length=160, required=False)
    why = forms.CharField(
        label="because",
        max_length=MOST_WHY,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed for a way back.",
    )

    def __init__(
        self,
        *args: Any,
        words: Mapping[str, str],
        following: Iterable[str],
        earlier: Iterable[str],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        forward = [(code, words[code]) for code in following]
        back = [(f"back-{code}", f"back to {words[code]}") for code in dict.fromkeys(earlier)]
        self.fields["to"].choices = [("", "choose"), *forward, *back]

    def clean(self) -> dict[str, Any]:
        """Ask for the reason of a way back."""
        cleaned = super().clean() or self.cleaned_data
        if str(cleaned.get("to", "")).startswith("back-") and not cleaned.get("why"):
            self.add_error("why", "Say why it goes back.")
        return cleaned

    @property
    def given(self) -> dict[str, Any]:
        """Return what the action takes."""
        to = self.cleaned_data["to"]
        return {
            "to_state": to.removeprefix("back-"),
            "is_back": to.startswith("back-"),
            "on": self.cleaned_data["on"],
            "why": self.cleaned_data["why"],
            "signed_by": self.cleaned_data["signed_by"],
        }
