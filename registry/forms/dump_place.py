"""The form of a dump or decant place."""

from registry.forms.hours import PlaceForm
from registry.models import DumpPlace


class DumpPlaceForm(PlaceForm):
    """Where debris, and wash water if it takes it, are left."""

    class Meta:
        model = DumpPlace
        fields = (
            "name", "address", "lon", "lat", "hours", "takes_wash_water", "unloading_min",
            "permit", "note",
        )  # fmt: skip
