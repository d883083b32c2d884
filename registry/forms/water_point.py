"""The form of a water point."""

from typing import Any

from registry.forms.hours import PlaceForm
from registry.models import WaterPoint
from registry.units import Kind


class WaterPointForm(PlaceForm):
    """A hydrant or tap, with its permit and hours."""

    quantities = {"flow_l_min": Kind.LIQUID}

    class Meta:
        model = WaterPoint
        fields = (
            "name", "address", "lon", "lat", "hours", "owner", "permit", "permit_from_on",
            "permit_last_on", "flow_l_min", "filling_min", "note",
        )  # fmt: skip

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        flow = self.fields["flow_l_min"]
        flow.help_text = f"in {flow.unit} a minute"
