"""What planning says where there is no number, and the check that a number can be."""

import math
from dataclasses import dataclass

from registry.planning.faults import PlanningError


@dataclass(frozen=True)
class NotDecided:
    """Why something is not decided, in a sentence, and what is missing for it."""

    reason: str
    missing: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.reason


def require(value: float, what: str, *, above: float | None = None, least: float = 0.0) -> None:
    """Raise PlanningError unless a number is finite, and above `above` or at least `least`."""
    if not math.isfinite(value):
        raise PlanningError(f"{what} is not a number.")
    if above is not None and value <= above:
        raise PlanningError(f"{what} must be above {above:g}, not {value:g}.")
    if value < least:
        raise PlanningError(f"{what} must be at least {least:g}, not {value:g}.")
