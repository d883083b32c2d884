"""The form of a machine."""

from registry.forms.hours import ListsForm, methods_field, methods_in_words
from registry.models import Machine
from registry.units import Kind


class MachineForm(ListsForm):
    """What a machine can do and measures. Who made it is not asked."""

    quantities = {
        "head_width_m": Kind.LENGTH,
        "speed_km_h": Kind.SPEED,
        "hopper_m3": Kind.VOLUME,
        "water_tank_l": Kind.LIQUID,
        "axle_kg": Kind.MASS,
        "height_m": Kind.LENGTH,
        "width_m": Kind.LENGTH,
        "turning_m": Kind.LENGTH,
        "hose_m": Kind.LENGTH,
    }
    ranges = {"efficiency": (0, 1)}
    said = {"methods": methods_in_words}
    groups = (
        ("What it does", ("name", "methods")),
        ("At work", ("head_width_m", "speed_km_h", "efficiency")),
        ("What it holds", ("hopper_m3", "water_tank_l", "keeps_wash_water", "hose_m")),
        ("Where it fits", ("axle_kg", "height_m", "width_m", "turning_m")),
    )
    methods = methods_field("methods it can do", required=True)

    class Meta:
        model = Machine
        fields = (
            "name", "methods", "head_width_m", "speed_km_h", "efficiency", "hopper_m3",
            "water_tank_l", "keeps_wash_water", "hose_m", "axle_kg", "height_m", "width_m",
            "turning_m", "note",
        )  # fmt: skip
        help_texts = {"efficiency": "0.65 means that the head works 65 % of the time on site."}
