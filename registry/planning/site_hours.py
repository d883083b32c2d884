"""Hours on site (N21): passes A / (w v e) + hand edges + set-up + dump and water.

symbol  meaning                                     unit
A       area                                        m2
w, v    head width, speed at work                   m, km/h
e       share of the time in which the head works   1
Common practice, no source.
"""

from dataclasses import dataclass

from registry.planning.faults import PlanningError
from registry.planning.words import require


@dataclass(frozen=True)
class SiteHours:
    """The parts, hours each. Travel is not among them."""

    machine_h: float
    edges_h: float
    set_up_h: float
    dump_and_water_h: float

    @property
    def total_h(self) -> float:
        return self.machine_h + self.edges_h + self.set_up_h + self.dump_and_water_h


def machine_hours(
    area_m2: float, passes: int, head_width_m: float, speed_km_h: float, efficiency: float
) -> float:
    """Return the hours of the machine itself. Raises PlanningError for what cannot be."""
    require(area_m2, "The area", above=0)
    require(head_width_m, "The head width", above=0)
    require(speed_km_h, "The speed", above=0)
    require(efficiency, "The share of time at work", above=0)
    if passes < 1 or efficiency > 1:
        raise PlanningError("There is at least one pass, and the share of time at work is up to 1.")
    return passes * area_m2 / (head_width_m * speed_km_h * 1000 * efficiency)


def site_hours(
    machine_h: float, *, edges_h: float = 0, set_up_h: float = 0, dump_and_water_h: float = 0
) -> SiteHours:
    """Return N21 with its parts, to be shown to 0.1 h."""
    for hours, what in (
        (machine_h, "The machine's time"),
        (edges_h, "The hand edges"),
        (set_up_h, "The set-up"),
        (dump_and_water_h, "Dump and water"),
    ):
        require(hours, what)
    return SiteHours(machine_h, edges_h, set_up_h, dump_and_water_h)
