"""Water over cementitious material of a load, with what was added on site (N12).

w/cm = (batch water + free moisture of the aggregate + site water) / (cementitious content x load)

A US gallon of water is taken as 8.34 lb and a litre as 1 kg (water at about 60 degF, 16 degC).
Where a part of the water is not known the number is a least one, and is printed "at least".
"""

import math
from dataclasses import dataclass

from registry.placing.faults import NotGiven, PlacingError
from registry.units import System

WATER_PER_LIQUID = {System.INCH_POUND: 8.34, System.SI: 1.0}
"""lb per US gallon, kg per litre."""


@dataclass(frozen=True)
class LoadWater:
    """What went into one load: lb, yd3, lb/yd3, gal (inch-pound) or kg, m3, kg/m3, L (SI).

    free_moisture  of the aggregate; None where nobody knows it; 0 where it is in batch_water
    site_water     gallons or litres added on site; None where nobody knows whether any was
    """

    system: System
    cementitious: float | None
    load_volume: float | None
    batch_water: float | None
    free_moisture: float | None
    site_water: float | None

    def __post_init__(self) -> None:
        given = (self.batch_water, self.free_moisture, self.site_water)
        if not all(math.isfinite(value) and value >= 0 for value in given if value is not None):
            raise PlacingError("Water cannot be below 0.")
        sizes = (self.cementitious, self.load_volume)
        if not all(math.isfinite(value) and value > 0 for value in sizes if value is not None):
            raise PlacingError("A load and its cementitious content are above 0.")


@dataclass(frozen=True)
class WaterCement:
    """w/cm; `at_least` where moisture or site water is not known."""

    value: float
    at_least: bool

    def is_over(self, limit: float) -> bool | None:
        """Whether it lies over the limit; None where a least value does not decide."""
        if self.value > limit:
            return True
        return None if self.at_least else False

    @property
    def words(self) -> str:
        """ "0.342", "at least 0.314"."""
        return f"at least {self.value:.3f}" if self.at_least else f"{self.value:.3f}"


def water_cement(load: LoadWater) -> WaterCement | NotGiven:
    """N12 of one load; says what is missing instead."""
    binder = _binder(load)
    if binder is None or load.batch_water is None:
        return NotGiven(_missing(load))
    per_liquid = WATER_PER_LIQUID[load.system]
    water = load.batch_water + (load.free_moisture or 0) + per_liquid * (load.site_water or 0)
    return WaterCement(water / binder, load.free_moisture is None or load.site_water is None)


def water_left(load: LoadWater, limit: float) -> float | NotGiven:
    """How much may still be added on site within a limit of w/cm, gallons or litres; 0 if none."""
    now = water_cement(load)
    if isinstance(now, NotGiven):
        return now
    if now.at_least:
        return NotGiven("Not all water of this load is known, so nothing may be promised.")
    binder = _binder(load) or 0.0
    return max((limit - now.value) * binder / WATER_PER_LIQUID[load.system], 0.0)


def _binder(load: LoadWater) -> float | None:
    if load.cementitious is None or load.load_volume is None:
        return None
    return load.cementitious * load.load_volume


def _missing(load: LoadWater) -> str:
    asked = {
        "cementitious content": load.cementitious,
        "size of the load": load.load_volume,
        "batch water": load.batch_water,
    }
    return f"No w/cm without {', '.join(name for name, value in asked.items() if value is None)}."
