"""The form of a reading of the weather on a placing day."""

from typing import Any, ClassVar

from registry.forms.load import OfADayForm
from registry.models import WeatherReading
from registry.units import Kind


class WeatherReadingForm(OfADayForm):
    """Air, humidity, wind and concrete, at a clock or at a load."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "station"})
    quantities: ClassVar[dict[str, Kind]] = {
        "air_c": Kind.TEMPERATURE,
        "wind_km_h": Kind.SPEED,
        "concrete_c": Kind.TEMPERATURE,
    }
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"humidity_percent": (0, 100)}

    class Meta:
        model = WeatherReading
        fields = (
            "at", "load", "air_c", "humidity_percent", "wind_km_h", "sky", "concrete_c",
            "read_with", "station", "note",
        )  # fmt: skip
        help_texts = {"wind_km_h": "20 in (0.5 m) above the surface"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["load"].queryset = self.parent.loads.standing()
        self.fields["load"].empty_label = "not at a load"

    def clean(self) -> dict[str, Any]:
        """Wind judged by eye is marked so."""
        cleaned = super().clean()
        self.keep_units()
        return cleaned
