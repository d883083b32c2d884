"""The kinds of quantity in the record, their units, and the range in which each is plausible.

Factors are exact by definition (NIST SP 811, appendix B). What is done with them stands in
`registry.units`, which gives these names out; import them from there.
"""

from dataclasses import dataclass
from enum import Enum, StrEnum


class System(StrEnum):
    INCH_POUND = "inch_pound"
    SI = "si"


class Kind(Enum):
    RING = "ring diameter"
    SMALL_LENGTH = "small length"
    LENGTH = "length"
    AREA = "area"
    MASS = "mass"
    RATE = "rate"
    INTENSITY = "intensity"
    VOLUME = "volume"
    LIQUID = "liquid volume"
    TEMPERATURE = "temperature"
    SPEED = "speed"
    DENSITY = "density"
    CONTENT = "content of a mix"
    SHEET = "thickness of a sheet"
    PLACING_SPEED = "placing speed"
    DRYING = "evaporation"


@dataclass(frozen=True)
class Unit:
    """One unit: SI base = factor * (value - zero)."""

    sign: str
    system: System
    factor: float
    spellings: tuple[str, ...]
    zero: float = 0.0

    def to_si(self, value: float) -> float:
        return self.factor * (value - self.zero)

    def from_si(self, value_si: float) -> float:
        return value_si / self.factor + self.zero


@dataclass(frozen=True)
class Measure:
    """The units of one kind, the first of each system being the standard one.

    `plausible` is the range, in the standard unit, used for one thing only: to tell a decimal
    comma from a thousands comma. A value outside it is still accepted as written.
    """

    units: tuple[Unit, ...]
    plausible: dict[System, tuple[float, float]]
    decimals: dict[System, int]

    def standard(self, system: System) -> Unit:
        return next(unit for unit in self.units if unit.system is system)


US, SI = System.INCH_POUND, System.SI
FOOT, YARD, POUND = 0.3048, 0.9144, 0.45359237


def _measure(
    units: tuple[Unit, ...], us: tuple[float, float, int], si: tuple[float, float, int]
) -> Measure:
    """`us` and `si` are (lowest plausible, highest plausible, decimals shown)."""
    return Measure(units, {US: us[:2], SI: si[:2]}, {US: us[2], SI: si[2]})


INCH_WORDS = ("in", "inch", "inches", '"', "''", "″", "”")
FOOT_WORDS = ("ft", "foot", "feet", "'", "′", "’")
MM_WORDS = ("mm", "millimetre", "millimetres", "millimeter", "millimeters")
METRE_WORDS = ("m", "metre", "metres", "meter", "meters")
_FINE = (
    Unit("in", US, 25.4, INCH_WORDS),
    Unit("mm", SI, 1.0, MM_WORDS),
    Unit("cm", SI, 10.0, ("cm",)),
)
_COARSE = (
    Unit("ft", US, FOOT, FOOT_WORDS),
    Unit("in", US, 0.0254, INCH_WORDS),
    Unit("yd", US, 0.9144, ("yd", "yard", "yards")),
    Unit("m", SI, 1.0, METRE_WORDS),
    Unit("cm", SI, 0.01, ("cm",)),
    Unit("mm", SI, 0.001, MM_WORDS),
)
_FLOW = (
    Unit("in/h", US, 25.4, ("in/h", "in/hr", "in/hour", "inches/hour", "inches per hour", "iph")),
    Unit("mm/h", SI, 1.0, ("mm/h", "mm/hr", "mm/hour", "mm per hour")),
    Unit("mm/min", SI, 60.0, ("mm/min",)),
    Unit("cm/s", SI, 36000.0, ("cm/s", "cm/sec")),
    Unit("L/s/ha", SI, 0.36, ("l/s/ha", "l/(s·ha)", "l/(s ha)")),
)

MEASURES: dict[Kind, Measure] = {
    Kind.RING: _measure(_FINE, (6, 24, 2), (150, 600, 1)),
    Kind.SMALL_LENGTH: _measure(_FINE, (0.01, 48, 2), (0.2, 1200, 1)),
    Kind.LENGTH: _measure(_COARSE, (0.1, 3000, 1), (0.03, 1000, 2)),
    Kind.AREA: _measure(
        (
            Unit("ft²", US, FOOT**2, ("ft2", "sq ft", "sqft", "sf", "square feet", "square foot")),
            Unit("yd²", US, 0.9144**2, ("yd2", "sq yd", "square yards")),
            Unit("m²", SI, 1.0, ("m2", "sq m", "sqm", "square metres", "square meters")),
        ),
        (50, 1_000_000, 0),
        (5, 100_000, 0),
    ),
    Kind.MASS: _measure(
        (
            Unit("lb", US, POUND, ("lb", "lbs", "pound", "pounds")),
            Unit("oz", US, POUND / 16, ("oz", "ounce", "ounces")),
            Unit("kg", SI, 1.0, ("kg", "kilogram", "kilograms", "kilo", "kilos")),
            Unit("g", SI, 0.001, ("g", "gram", "grams")),
            Unit("t", SI, 1000.0, ("t", "tonne", "tonnes")),
        ),
        (3, 45, 2),
        (1.4, 20.5, 2),
    ),
    Kind.RATE: _measure(_FLOW, (1, 6000, 0), (20, 150_000, 0)),
    Kind.INTENSITY: _measure(_FLOW, (0.05, 20, 2), (1, 500, 1)),
    Kind.VOLUME: _measure(
        (
            Unit("yd³", US, 0.9144**3, ("yd3", "cu yd", "cy", "cubic yards", "cubic yard")),
            Unit("ft³", US, FOOT**3, ("ft3", "cu ft", "cubic feet")),
            Unit("m³", SI, 1.0, ("m3", "cu m", "cubic metres", "cubic meters")),
        ),
        (0.02, 500, 1),
        (0.02, 400, 1),
    ),
    Kind.LIQUID: _measure(
        (
            Unit("gal", US, 3.785411784, ("gal", "gals", "gallon", "gallons", "us gal")),
            Unit("L", SI, 1.0, ("l", "litre", "litres", "liter", "liters")),
        ),
        (5, 20_000, 0),
        (20, 80_000, 0),
    ),
    Kind.TEMPERATURE: _measure(
        (
            Unit("°F", US, 5 / 9, ("°f", "f", "degf", "deg f"), zero=32.0),
            Unit("°C", SI, 1.0, ("°c", "c", "degc", "deg c")),
        ),
        (-40, 150, 0),
        (-40, 65, 0),
    ),
    Kind.SPEED: _measure(
        (
            Unit("mph", US, 1.609344, ("mph", "mi/h", "miles per hour")),
            Unit("km/h", SI, 1.0, ("km/h", "kmh", "kph", "km/hr")),
            Unit("m/s", SI, 3.6, ("m/s",)),
        ),
        (0.1, 150, 1),
        (0.1, 240, 1),
    ),
    Kind.DENSITY: _measure(
        (
            Unit("lb/ft³", US, POUND / FOOT**3, ("lb/ft3", "lbs/ft3", "pcf", "lb/cu ft")),
            Unit("kg/m³", SI, 1.0, ("kg/m3", "kg per m3")),
        ),
        (80, 170, 1),
        (1300, 2700, 0),
    ),
    Kind.CONTENT: _measure(
        (
            Unit("lb/yd³", US, POUND / YARD**3, ("lb/yd3", "lbs/yd3", "pcy", "lb/cu yd")),
            Unit("kg/m³", SI, 1.0, ("kg/m3", "kg per m3")),
        ),
        (200, 1200, 0),
        (120, 700, 0),
    ),
    Kind.SHEET: _measure(
        (
            Unit("mil", US, 0.0254, ("mil", "mils")),
            Unit("mm", SI, 1.0, MM_WORDS),
        ),
        (1, 60, 0),
        (0.02, 1.5, 2),
    ),
    Kind.PLACING_SPEED: _measure(
        (
            Unit("ft/min", US, FOOT, ("ft/min", "fpm", "feet per minute")),
            Unit("m/min", SI, 1.0, ("m/min", "metres per minute", "meters per minute")),
        ),
        (0.2, 30, 1),
        (0.05, 10, 2),
    ),
    Kind.DRYING: _measure(
        (
            Unit("lb/ft²/h", US, POUND / FOOT**2, ("lb/ft2/h", "lb/ft2/hr", "lb/sq ft/h")),
            Unit("kg/m²/h", SI, 1.0, ("kg/m2/h", "kg/m2/hr", "kg/sq m/h")),
        ),
        (0.01, 1, 3),
        (0.05, 5, 2),
    ),
}
