"""The form of a strike-off."""

from typing import Any, ClassVar

from registry.forms.load import OfADayForm
from registry.models import StrikeOff
from registry.units import Kind


class StrikeOffForm(OfADayForm):
    """Tool, passes, where, and when it ended."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "lane", "tool"})
    quantities: ClassVar[dict[str, Kind]] = {"from_m": Kind.LENGTH, "to_m": Kind.LENGTH}
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"passes": (1, 50)}

    class Meta:
        model = StrikeOff
        fields = ("lane", "from_m", "to_m", "tool", "passes", "ended_at", "corners_by_hand", "note")

    def clean(self) -> dict[str, Any]:
        """“To” lies beyond “from”."""
        cleaned = super().clean()
        begin, end = cleaned.get("from_m"), cleaned.get("to_m")
        if begin is not None and end is not None and end <= begin:
            self.add_error("to_m", "“to” lies beyond “from”.")
        return cleaned
