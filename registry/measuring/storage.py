"""Water below the surface: drawdown (N29) and storage (N30).

symbol  meaning                                unit
h       depth of base, or drop in the well     mm
n       void ratio of the layer                1, between 0 and 1
f       rate of the soil                       mm/h
t       hours from the end of rain to an empty observation well; by design t = n h / f
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from registry.faults import DomainError
from registry.units import elapsed_seconds


class InvalidStorage(DomainError):
    """Numbers that no base or well can have."""


@dataclass(frozen=True)
class Drawdown:
    """hours until the well was empty, and the rate of the soil under it in mm/h if known."""

    hours: float
    mm_h: float | None


@dataclass(frozen=True)
class NoDrawdown:
    code: str
    reason: str


@dataclass(frozen=True)
class Layer:
    depth_mm: float
    void_ratio: float

    def __post_init__(self) -> None:
        _check_depth_and_voids(self.depth_mm, self.void_ratio)


def drawdown(
    *,
    rain_ended_at: datetime | None,
    emptied_at: datetime | None,
    rain_during: bool | None,
    drop_mm: float | None = None,
    void_ratio: float | None = None,
) -> Drawdown | NoDrawdown:
    """N29 from two aware instants, in elapsed hours whatever the clocks did.

    rain_during  whether it rained while the well was read; None where nobody knows
    drop_mm      fall of the water in the well over that time; void_ratio of its layer
    """
    if rain_ended_at is None:
        return NoDrawdown("rain_end_missing", "When the rain ended is not written down.")
    if emptied_at is None:
        return NoDrawdown("not_empty", "The well was not seen empty.")
    if rain_during:
        return NoDrawdown("rain_during", "It rained while the well was read.")
    if rain_during is None:
        return NoDrawdown("rain_unknown", "Whether it rained while the well was read is not known.")
    hours = elapsed_seconds(rain_ended_at, emptied_at) / 3600
    if hours <= 0:
        raise InvalidStorage("The well was empty before the rain ended.")
    if drop_mm is None or void_ratio is None:
        return Drawdown(hours, None)
    _check_depth_and_voids(drop_mm, void_ratio)
    return Drawdown(hours, drop_mm * void_ratio / hours)


def design_drawdown_h(depth_mm: float, void_ratio: float, soil_mm_h: float) -> float:
    """Hours in which a full base empties into the soil, n h / f."""
    _check_depth_and_voids(depth_mm, void_ratio)
    if not (math.isfinite(soil_mm_h) and soil_mm_h > 0):
        raise InvalidStorage(f"The rate of the soil must be above zero, not {soil_mm_h:g}.")
    return depth_mm * void_ratio / soil_mm_h


def storage_mm(layers: Iterable[Layer]) -> float:
    """N30: depth of water the layers hold, mm. Raises InvalidStorage if there is no layer."""
    held = [layer.depth_mm * layer.void_ratio for layer in layers]
    if not held:
        raise InvalidStorage("No layer is written down, so storage is not known.")
    return sum(held)


def _check_depth_and_voids(depth_mm: float, void_ratio: float) -> None:
    if not (math.isfinite(depth_mm) and depth_mm > 0):
        raise InvalidStorage(f"A depth must be above zero, not {depth_mm:g}.")
    if not 0 < void_ratio < 1:
        raise InvalidStorage(f"A void ratio lies between 0 and 1, not {void_ratio:g}.")
