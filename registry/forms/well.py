"""The form of an observation well."""

from registry.forms.entry import PartForm
from registry.models import ObservationWell
from registry.units import Kind


class WellForm(PartForm):
    """A pipe in which the water in the base is read."""

    quantities = {"depth_mm": Kind.SMALL_LENGTH}

    class Meta:
        model = ObservationWell
        fields = ("name", "place", "depth_mm", "cap", "note")
