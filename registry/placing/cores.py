"""What a core or a density says against plan and test panel (N16).

Length less plan thickness; density against the approved density of the test panel. Densities of
fresh concrete are allowed +-5 lb/ft3 or 80 kg/m3 of the approved one, one system a job (ACI 522.1,
from memory; the contract wins). A density that passes proves nothing about covering.

Coring cuts into a hard slab with water and power: silica dust, kickback, lines below. Local codes
and licensed practice decide how it is done.
"""

import math
from dataclasses import dataclass

from registry.placing.faults import NotGiven, PlacingError
from registry.units import System

TOLERANCE = {System.INCH_POUND: 5.0, System.SI: 80.0}
"""lb/ft3, kg/m3."""
_SLACK = 1e-9  # 123.0 against 118.0 is exactly on the limit, and inside it


@dataclass(frozen=True)
class DensityCheck:
    """Found less approved, in lb/ft3 or kg/m3; `share` is that over the approved one."""

    found: float
    approved: float
    tolerance: float

    @property
    def deviation(self) -> float:
        return self.found - self.approved

    @property
    def share(self) -> float:
        return self.deviation / self.approved

    @property
    def is_inside(self) -> bool:
        return abs(self.deviation) <= self.tolerance + _SLACK

    @property
    def words(self) -> str:
        """ "-2.5 % of the approved density, inside the limit"."""
        inside = "inside" if self.is_inside else "outside"
        return f"{100 * self.share:+.1f} % of the approved density, {inside} the limit"


def density_check(
    found: float | None, approved: float | None, system: System, tolerance: float | None = None
) -> DensityCheck | NotGiven:
    """N16 of a fresh or core density, both in the system of the job; says what is missing."""
    if found is None or approved is None:
        missing = "density" if found is None else "approved density of the test panel"
        return NotGiven(f"The {missing} is missing.")
    if not all(math.isfinite(value) and value > 0 for value in (found, approved)):
        raise PlacingError("A density is above 0.")
    return DensityCheck(found, approved, TOLERANCE[system] if tolerance is None else tolerance)


def length_deviation_mm(length_mm: float | None, plan_mm: float | None) -> float | NotGiven:
    """Core length less plan thickness, mm, below 0 where the slab is thin."""
    if length_mm is None or plan_mm is None:
        missing = "length of the core" if length_mm is None else "plan thickness"
        return NotGiven(f"The {missing} is missing.")
    if not all(math.isfinite(value) and value > 0 for value in (length_mm, plan_mm)):
        raise PlacingError("A core and a slab have a length above 0.")
    return length_mm - plan_mm
