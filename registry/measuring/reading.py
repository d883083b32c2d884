"""One ring test: raw readings in, a signed rate out (ASTM C1701/C1701M, C1781/C1781M).

symbol  meaning                                             inch-pound   SI
I       infiltration rate                                   in/h         mm/h
M       water really poured                                 lb           kg
D       inside diameter of the ring used                    in           mm
t       from water touching the surface until none stands   s            s
K       constant of the system the test was read in

I = K M / (D^2 t). A test is computed with the constant of its own system; the two systems differ
by 0.004 %, so a converted reading is not the same test.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from registry.faults import Ambiguous, DomainError
from registry.units import Kind, System, Written, same_system, show

# The constants as the standard prints them, from memory of the standard. From first principles
# they are (4/pi) 3600 1728/62.43 = 126 871 and (4/pi) 3600 10^6 = 4 583 662 361.
CONSTANT = {System.INCH_POUND: 126_870.0, System.SI: 4_583_666_000.0}

# Nominal water of prewet and test, lb and kg; from memory of the standard.
SMALL_POUR = {System.INCH_POUND: 8.0, System.SI: 3.6}
LARGE_POUR = {System.INCH_POUND: 40.0, System.SI: 18.0}
PREWET_LIMIT_S = 30.0  # *under* 30 s asks for the large pour; from memory of the standard

MM_PER_INCH = 25.4


class Method(StrEnum):
    C1701 = "c1701"
    C1781 = "c1781"
    QUICK_POUR = "quick_pour"
    OTHER = "other"

    @property
    def is_standard(self) -> bool:
        return self in (Method.C1701, Method.C1781)


class Ended(StrEnum):
    DRAINED = "drained"
    STOPPED = "stopped"
    TOO_FAST = "too_fast"
    SPOILED = "spoiled"


class Stratum(StrEnum):
    RUN_ON_EDGE = "run_on_edge"
    WHEEL_PATH = "wheel_path"
    FIELD = "field"
    LEAF_SIDE = "leaf_side"
    NEW_PANEL = "new_panel"
    OTHER = "other"

    @property
    def words(self) -> str:
        """The stratum as people say it."""
        if self is Stratum.RUN_ON_EDGE:
            return "run-on edge"
        return "stalls or middle" if self is Stratum.FIELD else self.value.replace("_", " ")


class InvalidReading(DomainError):
    """Numbers that no ring test can have."""


@dataclass(frozen=True)
class RingReading:
    """The readings of one run, in the units of the system it was read in.

    system          whose units the numbers are in, and whose constant applies
    ring            inside diameter, in | mm; None where it was not written down
    water           water poured, lb | kg; None where missing
    seconds         elapsed time to the end, s; None where missing
    water_left      water still standing when stopped, lb | kg, where it was weighed
    prewet_water    lb | kg
    prewet_seconds  s
    ring_assumed    the diameter is a nominal one that nobody measured

    Raises InvalidReading for a number that cannot be.
    """

    system: System
    method: Method
    ended: Ended
    ring: float | None
    water: float | None
    seconds: float | None
    water_left: float | None = None
    prewet_water: float | None = None
    prewet_seconds: float | None = None
    ring_assumed: bool = False

    def __post_init__(self) -> None:
        _positive(self.ring, "The ring's diameter")
        _positive(self.water, "The water poured")
        _positive(self.seconds, "The time")
        _positive(self.prewet_water, "The prewet water")
        _positive(self.prewet_seconds, "The prewet time")
        _check_water_left(self)


@dataclass(frozen=True)
class Rate:
    """A rate as computed: a number, or a bound with its sign.

    value     in/h or mm/h of `system`
    sign      "" a number, "<" the true rate is below value, ">" above it
    constant  K used
    estimate  of a stopped run whose remaining water was weighed, same unit; not to standard
    """

    value: float
    sign: str
    system: System
    constant: float
    estimate: float | None = None

    @property
    def mm_h(self) -> float:
        return self.value if self.system is System.SI else self.value * MM_PER_INCH

    @property
    def in_h(self) -> float:
        return self.value / MM_PER_INCH if self.system is System.SI else self.value

    @property
    def is_bound(self) -> bool:
        return self.sign != ""


@dataclass(frozen=True)
class NoRate:
    """Why no rate may be given; `reason` stands where the number would."""

    code: str
    reason: str


@dataclass(frozen=True)
class RingRange:
    """What one reading would give with each of several rings.

    by_ring  (ring, rate) in the order given
    spread   highest over lowest, less 1
    """

    by_ring: tuple[tuple[float, Rate], ...]
    lowest: Rate
    highest: Rate
    spread: float


def reading_from_written(
    ring: Written | None,
    water: Written | None,
    *,
    method: Method,
    ended: Ended,
    seconds: float | None,
    water_left: Written | None = None,
    prewet_water: Written | None = None,
    prewet_seconds: float | None = None,
    ring_assumed: bool = False,
) -> RingReading:
    """A reading from quantities as written. Mixing pounds with millimetres raises UnitError."""
    written = (ring, water, water_left, prewet_water)
    system = same_system(*written)
    for quantity, kind in zip(written, (Kind.RING, Kind.MASS, Kind.MASS, Kind.MASS), strict=True):
        if quantity is not None and quantity.kind is not kind:
            raise InvalidReading(f"“{quantity.text}” is not a {kind.value}.")
    numbers = [None if quantity is None else quantity.standard for quantity in written]
    return RingReading(
        system=system,
        method=method,
        ended=ended,
        ring=numbers[0],
        water=numbers[1],
        seconds=seconds,
        water_left=numbers[2],
        prewet_water=numbers[3],
        prewet_seconds=prewet_seconds,
        ring_assumed=ring_assumed,
    )


def compute_rate(reading: RingReading) -> Rate | NoRate:
    """The rate of one run, with its sign, or the reason why there is none.

    Drained: I = K M / (D^2 t). Stopped with water standing: I < that, and if the water left m was
    weighed an estimate K (M - m) / (D^2 t), marked as such. Poured out before a head could be
    held: I > that. Source: ASTM C1701/C1701M and C1781/C1781M, constants from memory.
    """
    if not reading.method.is_standard:
        return NoRate("not_to_standard", "Not a ring test to the standard; it gives no rate.")
    if reading.ended is Ended.SPOILED:
        return NoRate("spoiled", "The run was spoiled.")
    if reading.ring is None:
        return NoRate("ring_missing", "The inside diameter of the ring is not written down.")
    if reading.water is None:
        return NoRate("water_missing", "The water poured is not written down.")
    if reading.seconds is None:
        return NoRate("time_missing", "The time is not written down.")
    constant = CONSTANT[reading.system]
    per_mass = constant / (reading.ring**2 * reading.seconds)
    sign = {Ended.DRAINED: "", Ended.STOPPED: "<", Ended.TOO_FAST: ">"}[reading.ended]
    estimate = None
    if reading.water_left is not None and reading.water_left < reading.water:
        # Water left as heavy as the water poured says the scale saw nothing go in, not zero.
        estimate = per_mass * (reading.water - reading.water_left)
    return Rate(per_mass * reading.water, sign, reading.system, constant, estimate)


def rate_range_for_rings(reading: RingReading, rings: tuple[float, ...]) -> RingRange | NoRate:
    """What a reading without its ring would give with each ring it may have been.

    rings  measured inside diameters, in | mm of the reading's system

    The range informs whoever has to say which ring it was; it is no rate.
    """
    if not rings:
        return NoRate("ring_missing", "The ring is not known and no measured ring is listed.")
    by_ring = []
    for ring in rings:
        rate = compute_rate(replace(reading, ring=ring))
        if isinstance(rate, NoRate):
            return rate
        by_ring.append((ring, rate))
    rates = sorted((rate for _, rate in by_ring), key=lambda rate: rate.value)
    spread = rates[-1].value / rates[0].value - 1
    return RingRange(tuple(by_ring), rates[0], rates[-1], spread)


def rates_of_times(
    seconds: Ambiguous, ring: float | None, water: float | None, system: System
) -> str:
    """Say which rate each reading of a time gives, or "" without ring and water.

    ring, water  in | mm and lb | kg of the system

    It helps whoever has to say which reading is meant; none of them is taken.
    """
    if not ring or not water:
        return ""
    given = []
    for label, value in seconds.choices:
        rate = compute_rate(RingReading(system, Method.C1701, Ended.DRAINED, ring, water, value))
        if isinstance(rate, Rate):
            given.append(f"{label} gives {show(rate.mm_h, Kind.RATE, system)}")
    return f"{'; '.join(given)}."


def required_water(prewet_seconds: float, system: System) -> float:
    """Water the test takes after this prewet, lb | kg; from memory of the standard."""
    return (LARGE_POUR if prewet_seconds < PREWET_LIMIT_S else SMALL_POUR)[system]


def _positive(value: float | None, what: str) -> None:
    if value is not None and not (math.isfinite(value) and value > 0):
        raise InvalidReading(f"{what} must be a number above zero, not {value:g}.")


def _check_water_left(reading: RingReading) -> None:
    left = reading.water_left
    if left is None:
        return
    if not (math.isfinite(left) and left >= 0):
        raise InvalidReading(f"The water left must not be {left:g}.")
    if reading.ended is not Ended.STOPPED:
        raise InvalidReading("Water left belongs to a run that was stopped with water standing.")
    if reading.water is not None and left > reading.water:
        raise InvalidReading("More water was left in the ring than was poured.")
