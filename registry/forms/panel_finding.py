"""Forms of what was found panel by panel: causes, and signs seen or not seen."""

from typing import Any, ClassVar

from registry.forms.entry import PartForm
from registry.models import PanelEvidence, PanelFinding


class PanelFindingForm(PartForm):
    """One cause for one panel, and how far it is shown."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset(
        {
            "note", "panel", "cause", "confidence", "speaks_for", "speaks_against", "missing",
            "found_by", "found_on",
        }
    )  # fmt: skip

    class Meta:
        model = PanelFinding
        fields = (
            "panel", "cause", "confidence", "came_first", "speaks_for", "speaks_against",
            "missing", "found_by", "found_on", "note",
        )  # fmt: skip
        help_texts = {"came_first": "Two causes in a panel is normal: tick the first."}

    def clean_panel(self) -> str:
        """Refuse a panel that is not claimed."""
        return claimed(self, str(self.cleaned_data["panel"]))


class PanelEvidenceForm(PartForm):
    """What a person says of one sign in one panel."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "panel", "sign", "words", "said_by"})

    class Meta:
        model = PanelEvidence
        fields = ("panel", "sign", "is_there", "words", "said_by")

    def clean_panel(self) -> str:
        """Refuse a panel that is not claimed."""
        return claimed(self, str(self.cleaned_data["panel"]))


def claimed(form: PartForm, name: str) -> str:
    """Return the panel's name as claimed; the form refuses one that is not."""
    claim: list[str] = form.parent.panels
    found: Any = next((panel for panel in claim if panel.casefold() == name.casefold()), None)
    if claim and found is None:
        form.add_error("panel", f"{name} is not claimed: {', '.join(claim)}.")
    return str(found or name)
