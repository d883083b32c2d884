"""The form of a joint between two panels."""

from registry.forms.entry import PartForm
from registry.models import Joint
from registry.units import Kind


class JointForm(PartForm):
    """A joint, or all joints of one kind: "all between lanes A and B"."""

    quantities = {"depth_mm": Kind.SMALL_LENGTH, "spacing_m": Kind.LENGTH}

    class Meta:
        model = Joint
        fields = (
            "between",
            "kind",
            "depth_mm",
            "spacing_m",
            "after_placing_h",
            "filler",
            "state",
            "note",
        )
        help_texts = {"between": "C8|B8, or which joints all: between lanes A and B."}
