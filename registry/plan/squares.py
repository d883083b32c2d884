"""Squares for pavers without joints to count: g(right, up), 10 ft or 3 m from the datum.

g(1,1) is the square that touches the datum.
"""

import math
from dataclasses import dataclass

from registry.plan.faults import PlaceError, PlanError
from registry.plan.lengths import METRES_PER_FOOT
from registry.plan.points import TOUCH_M, Point
from registry.units import System

MOST_ASIDE = 999
"""3 km of squares of 10 ft: as many as numbers of panels, and few enough to be drawn."""
_SIDE_M = {System.INCH_POUND: 10 * METRES_PER_FOOT, System.SI: 3.0}


@dataclass(frozen=True)
class Squares:
    """A field of squares from the datum: `rights` to the right, `ups` going up, sides in metres."""

    rights: int
    ups: int
    side_m: float

    def __post_init__(self) -> None:
        if self.rights < 1 or self.ups < 1 or not self.side_m > 0:
            raise PlanError("A field of squares has at least one square with a side above 0.")
        if max(self.rights, self.ups) > MOST_ASIDE:
            raise PlanError(
                f"A field of squares has at most {MOST_ASIDE} squares each way; check its sides, "
                "or draw each part of it as a pavement of its own."
            )

    def home_of(self, right: int, up: int) -> Point:
        """Plan coordinates of a square's corner nearest the datum."""
        if not (1 <= right <= self.rights and 1 <= up <= self.ups):
            raise PlaceError(
                f"g({right},{up}) is not on this plan, which has squares g(1,1) "
                f"to g({self.rights},{self.ups})."
            )
        return ((right - 1) * self.side_m, (up - 1) * self.side_m)

    def square_at(self, right_m: float, up_m: float) -> tuple[int, int] | None:
        """The square a point lies in, or None; on a line it belongs to the side of the datum."""
        right, up = (self._count(value, self.side_m) for value in (right_m, up_m))
        if 1 <= right <= self.rights and 1 <= up <= self.ups:
            return (right, up)
        return None

    @staticmethod
    def _count(value_m: float, side_m: float) -> int:
        if -TOUCH_M <= value_m <= 0:
            return 1
        return math.ceil((value_m - TOUCH_M) / side_m)


def squares_over(width_m: float, length_m: float, system: System) -> Squares:
    """Squares of 10 ft or 3 m that cover a width to the right and a length going up."""
    side = _SIDE_M[system]
    return Squares(
        max(1, math.ceil((width_m - TOUCH_M) / side)),
        max(1, math.ceil((length_m - TOUCH_M) / side)),
        side,
    )
