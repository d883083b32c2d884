"""What was looked for at raveled concrete, to list what speaks for and against each cause."""

from collections.abc import Mapping
from typing import Any

from django import forms

FOUND = [("", "nobody has looked"), ("yes", "yes"), ("no", "no")]
SAID = {"yes": True, "no": False}


class EvidenceForm(forms.Form):
    """The signs of the table, each yes, no or not looked for. Nothing of it is stored.

    signs: code to label.
    """

    photo_before_first_winter = forms.ChoiceField(
        label="a dated picture from before the first winter", choices=FOUND, required=False
    )
    load_limits_known = forms.ChoiceField(
        label="the limits of the loads are known", choices=FOUND, required=False
    )

    def __init__(self, *args: Any, signs: Mapping[str, str], **options: Any) -> None:
        super().__init__(*args, **options)
        self.signs = signs
        for code, label in signs.items():
            self.fields[code] = forms.ChoiceField(label=label, choices=FOUND, required=False)

    @property
    def facts(self) -> dict[str, bool | None]:
        """Return each sign and whether it is there; None where nobody has looked."""
        return {code: SAID.get(self._said(code)) for code in self.signs}

    @property
    def known(self) -> dict[str, bool | None]:
        """Return what has to be known before anybody answers."""
        names = ("photo_before_first_winter", "load_limits_known")
        return {name: SAID.get(self._said(name)) for name in names}

    def _said(self, name: str) -> str:
        return str(getattr(self, "cleaned_data", {}).get(name, ""))
