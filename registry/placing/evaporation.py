"""How fast a fresh surface dries (N11).

symbol    meaning                                          unit, SI form    unit, inch-pound form
E         evaporation                                      kg/m2/h          lb/ft2/h
T_c, T_a  temperature of the concrete, of the air          degC             degF
r         relative humidity / 100
V         wind, 20 in (0.5 m) above the surface            km/h             mph

SI form     E = 5 ((T_c + 18)^2.5 - r (T_a + 18)^2.5) (V + 4) 1e-6
inch-pound  E = (T_c^2.5 - r T_a^2.5) (1 + 0.4 V) 1e-6

Source: Uno, ACI Materials Journal 95-M34 (1998). The forms differ by about 5 %: the form of the
system in which the readings were taken is used and kept. Below 0 is shown as 0. Real evaporation
can be 40 % off: a guide, no proof.
"""

import math
from dataclasses import dataclass

from registry.placing.faults import NotGiven, PlacingError
from registry.units import System

_COLDEST = {System.SI: -18.0, System.INCH_POUND: 0.0}
_UNIT = {System.SI: "kg/m²/h", System.INCH_POUND: "lb/ft²/h"}
_DECIMALS = {System.SI: 2, System.INCH_POUND: 3}


@dataclass(frozen=True)
class DryingWeather:
    """One reading at the surface, in degC and km/h (SI) or degF and mph (inch-pound).

    None stands for a reading nobody took. wind_by_eye: the wind was judged, not measured.
    """

    system: System
    air: float | None
    concrete: float | None
    humidity_percent: float | None
    wind: float | None
    wind_by_eye: bool = False

    def __post_init__(self) -> None:
        given = (self.air, self.concrete, self.humidity_percent, self.wind)
        if not all(math.isfinite(value) for value in given if value is not None):
            raise PlacingError("Weather is written in numbers.")
        if self.humidity_percent is not None and not 0 <= self.humidity_percent <= 100:
            raise PlacingError(f"Humidity is 0 to 100 %, not {self.humidity_percent:g} %.")
        if self.wind is not None and self.wind < 0:
            raise PlacingError("Wind cannot be below 0.")
        coldest = _COLDEST[self.system]
        if any(t is not None and t < coldest for t in (self.air, self.concrete)):
            raise PlacingError("It is too cold to place concrete, and the formula ends there.")


@dataclass(frozen=True)
class DryingLimit:
    """A limit on evaporation in both systems, as its owner states it in each."""

    name: str
    kg_m2_h: float
    lb_ft2_h: float

    def in_form(self, form: System) -> float:
        return self.kg_m2_h if form is System.SI else self.lb_ft2_h


PLAIN = DryingLimit("plain concrete", 1.0, 0.2)
NO_BLEED = DryingLimit("a mix that does not bleed", 0.5, 0.1)
"""Common limits (Uno 1998); a contract's own limit wins."""


@dataclass(frozen=True)
class Evaporation:
    """E in the unit of the form used: kg/m2/h (SI) or lb/ft2/h (inch-pound), never below 0.

    about  the wind was judged by eye: print "about" before the number
    """

    value: float
    form: System
    about: bool

    def passes(self, limit: DryingLimit) -> bool:
        """Say whether it lies above the limit."""
        return self.value > limit.in_form(self.form)

    @property
    def words(self) -> str:
        """ "0.205 lb/ft²/h", "about 1.15 kg/m²/h"."""
        number = f"{self.value:.{_DECIMALS[self.form]}f} {_UNIT[self.form]}"
        return f"about {number}" if self.about else number


def evaporation(weather: DryingWeather) -> Evaporation | NotGiven:
    """E of one reading, by the form of its system; says what is missing instead."""
    air, concrete = weather.air, weather.concrete
    humidity, wind = weather.humidity_percent, weather.wind
    if air is None or concrete is None or humidity is None or wind is None:
        asked = {"air": air, "concrete": concrete, "humidity": humidity, "wind": wind}
        missing = ", ".join(name for name, value in asked.items() if value is None)
        return NotGiven(f"No evaporation without {missing}.")
    form = by_si if weather.system is System.SI else by_inch_pound
    value = form(concrete, air, humidity / 100, wind)
    return Evaporation(max(value, 0.0), weather.system, weather.wind_by_eye)


def by_si(concrete_degc: float, air_degc: float, humidity: float, wind_kmh: float) -> float:
    """E in kg/m2/h, below 0 where the air wets the surface. humidity is 0 to 1."""
    drying = (concrete_degc + 18) ** 2.5 - humidity * (air_degc + 18) ** 2.5
    return float(5 * drying * (wind_kmh + 4) * 1e-6)


def by_inch_pound(concrete_degf: float, air_degf: float, humidity: float, wind_mph: float) -> float:
    """E in lb/ft2/h, below 0 where the air wets the surface. humidity is 0 to 1."""
    drying = concrete_degf**2.5 - humidity * air_degf**2.5
    return float(drying * (1 + 0.4 * wind_mph) * 1e-6)
