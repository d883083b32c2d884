"""The form of a core."""

from typing import Any, ClassVar

from registry.forms.entry import PartForm
from registry.models import Core
from registry.units import Kind


class CoreForm(PartForm):
    """Where it was drilled, what was measured, what was seen."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "number", "panel", "place", "seen", "cause", "cause_by", "taken_on"}
    )
    quantities: ClassVar[dict[str, Kind]] = {
        "length_mm": Kind.SMALL_LENGTH,
        "density_kg_m3": Kind.DENSITY,
        "fines_mm": Kind.SMALL_LENGTH,
    }
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"chloride_percent": (0, 100)}

    class Meta:
        model = Core
        fields = (
            "number", "panel", "place", "taken_on", "taken_by", "laboratory", "callback",
            "surface", "length_mm", "density_kg_m3", "chloride_percent", "fines_mm",
            "bottom_closed", "seen", "cause", "cause_by", "note",
        )  # fmt: skip

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["callback"].queryset = self.parent.callbacks.standing()
        self.fields["callback"].empty_label = "none"
