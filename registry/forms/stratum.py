"""The form of a stratum, with the rectangles that random spots are drawn in."""

from typing import Any

from registry.forms.entry import PartForm
from registry.forms.plan_lines import RectanglesField
from registry.forms.quantity import unit_hint
from registry.models import Stratum
from registry.units import Kind


class StratumForm(PartForm):
    """A part of the surface that takes dirt in its own way."""

    quantities = {"area_m2": Kind.AREA}
    rectangles = RectanglesField(label="where on the plan, for drawing random spots")

    class Meta:
        model = Stratum
        fields = ("kind", "area_m2", "rectangles", "note")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        place = self.fields["rectangles"]
        place.help_text = unit_hint(Kind.LENGTH, self.chosen_system, place.help_text)

    def clean(self) -> dict[str, Any]:
        """Refuse rectangles that lie on each other: a spot there would be drawn twice as often."""
        cleaned = super().clean()
        for number, first in enumerate(cleaned.get("rectangles") or ()):
            for second in cleaned["rectangles"][:number]:
                if _overlap(first, second):
                    self.add_error("rectangles", "Two of these rectangles lie on each other.")
                    return cleaned
        return cleaned


def _overlap(first: list[float], second: list[float]) -> bool:
    across = min(first[0] + first[2], second[0] + second[2]) - max(first[0], second[0])
    along = min(first[1] + first[3], second[1] + second[3]) - max(first[1], second[1])
    return across > 0.01 and along > 0.01
