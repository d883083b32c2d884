"""The form of a section of a pavement."""

from registry.forms.entry import PartForm
from registry.models import Section
from registry.units import Kind


class SectionForm(PartForm):
    """A part with its own thickness, mix, base, criteria or opening date."""

    quantities = {"area_m2": Kind.AREA, "thickness_mm": Kind.SMALL_LENGTH}

    class Meta:
        model = Section
        fields = (
            "name",
            "area_m2",
            "thickness_mm",
            "mix",
            "placed_on",
            "opened_to_feet_on",
            "opened_to_wheels_on",
            "from_on",
            "to_on",
            "note",
        )
