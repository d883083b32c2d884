"""Lengths in the words of a plan: feet and tenths, or metres and centimetres.

A plan is drawn in one system and its places are written in it. All lengths inside are metres.
"""

from registry.units import System

METRES_PER_FOOT = 0.3048  # international foot, exact by definition (1959)

# Digits kept when a place is written: finer than any tape, so nothing typed is lost.
_MOST_DIGITS = {System.INCH_POUND: 3, System.SI: 4}
_LEAST_DIGITS = {System.INCH_POUND: 1, System.SI: 2}
# A pocket tape finds a spot again to 1 to 3 in (common practice, no source).
STEP = {System.INCH_POUND: 0.1, System.SI: 0.01}


def unit_name(system: System) -> str:
    """The printed unit of plan lengths: "ft" or "m"."""
    return "ft" if system == System.INCH_POUND else "m"


def metres_from(value: float, system: System) -> float:
    """A length as written on a plan of `system` (ft or m), in metres."""
    return value * METRES_PER_FOOT if system == System.INCH_POUND else value


def written_from(metres: float, system: System) -> float:
    """Metres as a number in the plan's own unit (ft or m), rounded to what is ever written."""
    value = metres / METRES_PER_FOOT if system == System.INCH_POUND else metres
    return round(value, _MOST_DIGITS[system]) + 0.0  # + 0.0 turns -0.0 into 0.0


def write_length(metres: float, system: System, *, least_digits: int | None = None) -> str:
    """Digits of a length in the plan's unit, without the unit: 0.97536 m -> "3.2" (ft).

    least_digits: how many decimals at least; None for the habit of the system (1 for ft, 2 for m).
    """
    least = _LEAST_DIGITS[system] if least_digits is None else least_digits
    text = f"{written_from(metres, system):.{_MOST_DIGITS[system]}f}"
    whole, _, decimals = text.partition(".")
    decimals = decimals.rstrip("0").ljust(least, "0")
    return f"{whole}.{decimals}" if decimals else whole


def with_unit(metres: float, system: System) -> str:
    """A length for a message: "12 ft", "3.66 m"."""
    return f"{write_length(metres, system, least_digits=0)} {unit_name(system)}"


def to_tape(metres: float, system: System) -> float:
    """The length rounded to what a pocket tape gives (0.1 ft or 1 cm), in metres."""
    step = STEP[system]
    return metres_from(round(written_from(metres, system) / step) * step, system)
