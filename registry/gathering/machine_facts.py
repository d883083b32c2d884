"""What is known of a machine, as lines of label and text."""

from registry.gathering.facts import Fact, facts_of
from registry.models import Machine
from registry.units import Kind, System, show_size

MACHINE_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    ("head_width_m", Kind.LENGTH),
    ("speed_km_h", Kind.SPEED),
    ("efficiency", None),
    ("hopper_m3", Kind.VOLUME),
    ("water_tank_l", Kind.LIQUID),
    ("axle_kg", Kind.MASS),
    ("height_m", Kind.LENGTH),
    ("width_m", Kind.LENGTH),
    ("turning_m", Kind.LENGTH),
    ("hose_m", Kind.LENGTH),
)
SIZES = dict.fromkeys(("axle_kg", "height_m", "width_m", "turning_m"), show_size)
"""What is read against the limits of a site, so never shown as less than it is."""


def machine_facts(machine: Machine, system: System) -> tuple[Fact, ...]:
    """Return the facts of a machine."""
    return facts_of(machine, MACHINE_FIELDS, system, SIZES)
