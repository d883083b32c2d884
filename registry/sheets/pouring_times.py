"""The lines that turn seconds into a rate on the spot, of one system of units only."""

from dataclasses import dataclass

from registry.measuring.reading import CONSTANT, LARGE_POUR, SMALL_POUR
from registry.units import Kind, System, show, to_si, unit_sign

LIMIT_S = 1800
NOMINAL_RING = {System.INCH_POUND: 12.0, System.SI: 300.0}
_RING_WORDS = {System.INCH_POUND: "12.00 in ring.", System.SI: "300.0 mm ring."}
_SQUARE_WORDS = {System.INCH_POUND: "144/D²", System.SI: "90000/D²"}
_SMALL_RATES = {
    System.INCH_POUND: (100, 50, 25, 20, 10, 5),
    System.SI: (2500, 1250, 500, 250, 125),
}
_LARGE_RATES = {
    System.INCH_POUND: (1000, 500, 300, 235),
    System.SI: (25000, 12500, 7500, 3750),
}


@dataclass(frozen=True)
class PouringTime:
    """So many seconds mean such a rate, in/h or mm/h."""

    seconds: int
    rate: int


def pouring_times(water: float, rates: tuple[int, ...], system: System) -> tuple[PouringTime, ...]:
    """Seconds, rounded, in which `water` (lb or kg) drains from the nominal ring at each rate.

    t = K M / (D^2 I), the rate formula of ASTM C1701/C1701M turned round.
    """
    reach = CONSTANT[system] * water / NOMINAL_RING[system] ** 2
    return tuple(PouringTime(round(reach / rate), rate) for rate in rates)


def help_lines(system: System) -> tuple[str, str]:
    """The two help lines of a sheet in that system: the small pour, then the large one."""
    unit, mass = unit_sign(Kind.RATE, system), unit_sign(Kind.MASS, system)
    small, large = SMALL_POUR[system], LARGE_POUR[system]
    bound = CONSTANT[system] * small / (NOMINAL_RING[system] ** 2 * LIMIT_S)
    least = show(to_si(bound, Kind.RATE, system), Kind.RATE, system, sign="<")
    slow = _listed(pouring_times(small, _SMALL_RATES[system], system))
    fast = _listed(pouring_times(large, _LARGE_RATES[system], system))
    return (
        f"{_RING_WORDS[system]} {small:g} {mass}: {slow}, {LIMIT_S} not done = {least}.",
        f"{large:g} {mass}: {fast} {unit}. Other ring: multiply by {_SQUARE_WORDS[system]}.",
    )


def _listed(times: tuple[PouringTime, ...]) -> str:
    first, *others = times
    return ", ".join(
        (f"{first.seconds} s = {first.rate}", *(f"{t.seconds} = {t.rate}" for t in others))
    )
