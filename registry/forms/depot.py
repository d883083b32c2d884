"""The form of a depot."""

from registry.forms.hours import PlaceForm
from registry.models import Depot


class DepotForm(PlaceForm):
    """Where a crew's day begins and ends."""

    class Meta:
        model = Depot
        fields = ("name", "address", "lon", "lat", "hours", "note")
