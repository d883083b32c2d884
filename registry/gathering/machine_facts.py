"""Which facts of a machine are shown, with the kind of quantity of each."""

from registry.units import Kind

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
