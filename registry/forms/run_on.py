"""The form of a run-on area."""

from typing import Any

from registry.forms.entry import PartForm
from registry.models import RunOnArea
from registry.units import Kind


class RunOnForm(PartForm):
    """Ground whose water crosses the pavement, from and to a day."""

    quantities = {"area_m2": Kind.AREA, "flow_length_m": Kind.LENGTH}
    ranges = {"runoff_coefficient": (0, 1)}
    plain = frozenset({"note", "known_by"})

    class Meta:
        model = RunOnArea
        fields = (
            "name",
            "kind",
            "area_m2",
            "runoff_coefficient",
            "flow_length_m",
            "enters",
            "is_channelled",
            "known_by",
            "known_on",
            "from_on",
            "to_on",
            "note",
        )
        help_texts = {
            "runoff_coefficient": "Share of the rain that runs off.",
            "from_on": "A slope cut off changes the required rate from that day.",
        }

    def clean(self) -> dict[str, Any]:
        """Ask for the day where somebody walked or levelled."""
        cleaned = super().clean()
        answered = cleaned.get("known_on") or "known_on" in self.empties
        if cleaned.get("known_by") in ("rain_walk", "levelled") and not answered:
            self.add_error("known_on", "Say on which day, or write nk.")
        return cleaned
