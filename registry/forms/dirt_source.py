"""The form of something that brings dirt."""

from typing import Any

from registry.forms.entry import PartForm
from registry.models import DirtSource


class DirtSourceForm(PartForm):
    """A source of dirt beside a pavement."""

    class Meta:
        model = DirtSource
        fields = (
            "kind",
            "detail",
            "brings",
            "months",
            "strength",
            "who_can_stop_it",
            "seen_on",
            "asked_on",
            "stopped_on",
            "note",
        )

    def clean(self) -> dict[str, Any]:
        """Refuse days against their order."""
        cleaned = super().clean()
        seen, stopped = cleaned.get("seen_on"), cleaned.get("stopped_on")
        if seen and stopped and stopped < seen:
            self.add_error("stopped_on", "It cannot have stopped before it was seen.")
        return cleaned
