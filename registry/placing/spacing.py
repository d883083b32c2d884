"""How far apart the trucks come (N35).

spacing = load / (lane width x thickness x placing speed); a load covers load / (width x thickness)
of the lane, less what is wasted.
"""

import math
from dataclasses import dataclass

from registry.placing.faults import PlacingError


@dataclass(frozen=True)
class Placing:
    """How the crew places: m, m3, m/min.

    wasted  share of a load that does not end in the slab, 0 to under 1
    """

    load_m3: float
    lane_width_m: float
    thickness_m: float
    speed_m_min: float
    wasted: float = 0.0

    def __post_init__(self) -> None:
        sizes = (self.load_m3, self.lane_width_m, self.thickness_m, self.speed_m_min)
        if not all(math.isfinite(value) and value > 0 for value in sizes):
            raise PlacingError("Load, lane width, thickness and placing speed are above 0.")
        if not 0 <= self.wasted < 1:
            raise PlacingError("The part that is wasted is 0 or more, and less than all.")

    @property
    def covers_m(self) -> float:
        """Metres of lane that one load fills."""
        return self.load_m3 * (1 - self.wasted) / (self.lane_width_m * self.thickness_m)

    @property
    def spacing_min(self) -> float:
        """N35: minutes from one load to the next."""
        return self.covers_m / self.speed_m_min

    def minutes_for(self, length_m: float) -> float:
        """Minutes to place a length of lane."""
        return length_m / self.speed_m_min
