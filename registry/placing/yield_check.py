"""Concrete ordered against concrete that fits in (N15): placed / (area x thickness)."""

import math
from dataclasses import dataclass

from registry.placing.faults import PlacingError


@dataclass(frozen=True)
class YieldCheck:
    """Volumes in m3; `used` is placed over plan, 1.04 for 104 %."""

    placed_m3: float
    plan_m3: float

    @property
    def used(self) -> float:
        return self.placed_m3 / self.plan_m3

    @property
    def words(self) -> str:
        return f"{100 * self.used:.0f} %"


def yield_check(placed_m3: float, area_m2: float, thickness_m: float) -> YieldCheck:
    """N15. Raises PlacingError on a size that is not above 0."""
    for words, value in (
        ("The concrete placed", placed_m3),
        ("The area", area_m2),
        ("The thickness", thickness_m),
    ):
        if not (math.isfinite(value) and value > 0):
            raise PlacingError(f"{words} has to be above 0.")
    return YieldCheck(placed_m3, area_m2 * thickness_m)
