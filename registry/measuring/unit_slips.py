"""Signs that a number stands in the wrong unit: kilograms in the pound column, mm/h read as in/h.

A slip is asked about, never mended: both numbers stay on the sheet. The factors:
1 kg = 2.2046 lb, 1 mm/min = 2.3622 in/h, 1 m2 = 10.764 ft2, 1 in = 25.4 mm.
"""

from dataclasses import dataclass

from registry.measuring.reading import (
    LARGE_POUR,
    SMALL_POUR,
    Rate,
    RingReading,
    compute_rate,
    required_water,
)
from registry.measuring.surroundings import Surroundings
from registry.units import Kind, System, unit_sign

KG_LB = 1 / 0.45359237
MM_MIN_IN_H = 60 / 25.4
M2_FT2 = 1 / 0.3048**2
INCH_MM = 25.4

FACTORS = (
    ("ratio_kg_lb", KG_LB, "kilograms and pounds"),
    ("ratio_mm_min_in_h", MM_MIN_IN_H, "mm/min and in/h"),
    ("ratio_m2_ft2", M2_FT2, "m² and ft²"),
    ("ratio_mm_in", INCH_MM, "millimetres and inches"),
)
LOWEST_LEVEL_MM_H, HIGHEST_LEVEL_MM_H = 25.4, 2540.0
LOWEST_INTENSITY_MM_H, HIGHEST_INTENSITY_MM_H = 12.7, 304.8  # 0.5 and 12 in/h
POUR_TOLERANCE = 0.05  # share by which real pours stray from the nominal ones
STATED_TOLERANCE = 0.03  # a printed rate is rounded; 2 figures are within 3 %
# kg/lb and mm/min lie 7 % apart; a real change between two tests is told from neither exactly.
HISTORY_TOLERANCE = 0.03
LARGEST_RING = {System.INCH_POUND: 40.0, System.SI: 1000.0}
SMALLEST_RING = {System.INCH_POUND: 3.0, System.SI: 75.0}


@dataclass(frozen=True)
class Slip:
    code: str
    message: str
    mend: str
    keeps_out: bool


def is_close(value: float, wanted: float, share: float) -> bool:
    return abs(value - wanted) <= share * wanted


def slip_between(value: float, other: float, share: float) -> tuple[str, str] | None:
    """(code, the two units) if the ratio of two positive numbers is one of the factors."""
    ratio = max(value, other) / min(value, other)
    near = [f for f in FACTORS if is_close(ratio, f[1], share)]
    if not near:
        return None
    code, _, units = min(near, key=lambda f: abs(f[1] - ratio))
    return code, units


def area_slip(stated_m2: float, summed_m2: float) -> Slip | None:
    """A doubt where a stated area is 10.76 times the sum of its panels, or that part of it."""
    found = slip_between(stated_m2, summed_m2, POUR_TOLERANCE)
    if found is None or found[0] != "ratio_m2_ft2":
        return None
    ratio = max(stated_m2, summed_m2) / min(stated_m2, summed_m2)
    return Slip(
        "ratio_m2_ft2",
        f"The stated area and the sum of the panels differ {ratio:.2f} times, as m² and ft² do.",
        "Ask which unit was meant; the sum of the panels decides.",
        keeps_out=False,
    )


def level_slip(level_mm_h: float) -> Slip | None:
    """A doubt where an action level is one that only the other unit of rates would make likely.

    An action level is at least the floor or twice what the design rain asks for. Common practice,
    no source, for the two limits.
    """
    likely = (LOWEST_LEVEL_MM_H, HIGHEST_LEVEL_MM_H)
    return _rate_slip(level_mm_h, likely, "level_mm_in", "an action level")


def intensity_slip(intensity_mm_h: float) -> Slip | None:
    """A doubt where a design intensity is one that only the other unit would make likely.

    The likely ones lie 24 times apart, less than 25.4: each of them read in the other unit is asked
    about. Common practice, no source, for the two limits.
    """
    likely = (LOWEST_INTENSITY_MM_H, HIGHEST_INTENSITY_MM_H)
    return _rate_slip(intensity_mm_h, likely, "intensity_mm_in", "a design intensity")


def _rate_slip(mm_h: float, likely: tuple[float, float], code: str, what: str) -> Slip | None:
    if likely[0] <= mm_h <= likely[1]:
        return None
    in_mm, in_inch = f"{mm_h:.6g} mm/h", f"{mm_h / INCH_MM:.6g} in/h"
    is_low = mm_h < likely[0]
    meant = f"{mm_h:.6g} in/h" if is_low else f"{mm_h / INCH_MM:.6g} mm/h"
    return Slip(
        code,
        f"{in_mm} ({in_inch}) is very {'low' if is_low else 'high'} for {what}; "
        f"millimetres and inches differ {INCH_MM:g} times.",
        f"Ask whether {meant} was meant.",
        keeps_out=False,
    )


def find_unit_slips(reading: RingReading, around: Surroundings) -> tuple[Slip, ...]:
    """The slips that one reading shows by itself, by its sheet's rate and by the last test."""
    found = (_ring(reading), _pour(reading), _stated(reading, around), _history(reading, around))
    return tuple(slip for slip in found if slip is not None)


def _other(system: System) -> System:
    return System.SI if system is System.INCH_POUND else System.INCH_POUND


def _ring(reading: RingReading) -> Slip | None:
    ring, system = reading.ring, reading.system
    if ring is None or SMALLEST_RING[system] <= ring <= LARGEST_RING[system]:
        return None
    unit, other = unit_sign(Kind.RING, system), unit_sign(Kind.RING, _other(system))
    return Slip(
        "ring_size",
        f"A ring of {ring:g} {unit} is no ring of this method.",
        f"Ask whether {ring:g} {other} was meant.",
        keeps_out=True,
    )


def _pour(reading: RingReading) -> Slip | None:
    """The water is a nominal pour of the other system and none of its own."""
    water, system = reading.water, reading.system
    if water is None or reading.ring is None or _is_pour(water, system):
        return None
    if not _is_pour(water, _other(system)):
        return None
    unit, other = unit_sign(Kind.MASS, system), unit_sign(Kind.MASS, _other(system))
    message = f"{water:g} {unit} is no pour of the method, but {water:g} {other} is."
    if reading.prewet_seconds is not None:
        wanted = required_water(reading.prewet_seconds, system)
        message += f" A prewet of {reading.prewet_seconds:g} s calls for {wanted:g} {unit}."
    return Slip(
        "water_other_system",
        message,
        f"Ask the tester whether {other} was meant; both numbers stay on the sheet.",
        keeps_out=True,
    )


def _is_pour(water: float, system: System) -> bool:
    return any(is_close(water, pour[system], POUR_TOLERANCE) for pour in (SMALL_POUR, LARGE_POUR))


def _stated(reading: RingReading, around: Surroundings) -> Slip | None:
    rate, stated = compute_rate(reading), around.stated_mm_h
    if not isinstance(rate, Rate) or stated is None or stated <= 0:
        return None
    if is_close(stated, rate.mm_h, STATED_TOLERANCE):
        return None
    ratio = max(stated, rate.mm_h) / min(stated, rate.mm_h)
    found = slip_between(stated, rate.mm_h, STATED_TOLERANCE)
    likeness = f", as {found[1]} do" if found else ""
    return Slip(
        f"stated_{found[0]}" if found else "stated_rate_differs",
        f"The sheet's own rate differs {ratio:.2f} times from what its readings give{likeness}.",
        "Ask; the readings are computed, the sheet's rate is kept as written.",
        keeps_out=False,
    )


def _history(reading: RingReading, around: Surroundings) -> Slip | None:
    rate, last = compute_rate(reading), around.last_number(reading.method)
    if not isinstance(rate, Rate) or rate.is_bound or last is None or last.mm_h is None:
        return None
    found = slip_between(rate.mm_h, last.mm_h, HISTORY_TOLERANCE)
    if found is None or (found[0] == "ratio_kg_lb" and _water_speaks_for_itself(reading)):
        return None
    ratio = max(rate.mm_h, last.mm_h) / min(rate.mm_h, last.mm_h)
    return Slip(
        found[0],
        f"The rate differs {ratio:.2f} times from the test of {last.on}, as {found[1]} do.",
        "Ask whether the unit was the same; a real change may look so too.",
        keeps_out=False,
    )


def _water_speaks_for_itself(reading: RingReading) -> bool:
    """The pour is the one its prewet asks for, so its unit is not in doubt."""
    if reading.water is None or reading.prewet_seconds is None:
        return False
    wanted = required_water(reading.prewet_seconds, reading.system)
    return is_close(reading.water, wanted, POUR_TOLERANCE)
