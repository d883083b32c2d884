"""How many spots a visit tests, and where: random-stratified, written down before going.

Number of spots: 3 up to 25 000 ft2 (2 500 m2), one more for each further 10 000 ft2 (1 000 m2)
or part of it (ASTM C1701/C1701M, from memory). It is a floor: spots drawn over a whole area miss
the run-on edge, where dirt closes the surface first, so the draw is by strata.
"""

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from registry.faults import DomainError
from registry.measuring.reading import Stratum
from registry.units import System

FIRST_AREA = {System.INCH_POUND: 25_000.0, System.SI: 2_500.0}
FURTHER_AREA = {System.INCH_POUND: 10_000.0, System.SI: 1_000.0}
FIRST_SPOTS = 3
NEAREST_M = 1.0  # 3 ft is 0.91 m; the wider of the two keeps a draw good in both systems
OVER_AND_BACK = 1e-9
"""Share of a step that an area may gain on its way to m2 and back: 55 000 ft2 is no larger then."""
RING_RADIUS_M = 0.15
MOST_TRIES = 500


class SpotError(DomainError):
    """A draw that cannot be made."""


@dataclass(frozen=True)
class Rectangle:
    """In plan metres from the datum: right, up of its lower left corner, then its sides."""

    right_m: float
    up_m: float
    width_m: float
    depth_m: float

    def __post_init__(self) -> None:
        if not (self.width_m > 0 and self.depth_m > 0):
            raise SpotError("A rectangle of a stratum needs both its sides.")

    @property
    def area_m2(self) -> float:
        return self.width_m * self.depth_m

    def is_within(self, right_m: float, up_m: float, margin_m: float) -> bool:
        """Whether a point lies in it or nearer to it than `margin_m`."""
        dx = max(self.right_m - right_m, right_m - self.right_m - self.width_m, 0.0)
        dy = max(self.up_m - up_m, up_m - self.up_m - self.depth_m, 0.0)
        return math.hypot(dx, dy) < margin_m or (dx == 0 and dy == 0)


@dataclass(frozen=True)
class StratumPlan:
    stratum: Stratum
    rectangles: tuple[Rectangle, ...]

    def __post_init__(self) -> None:
        if not self.rectangles:
            raise SpotError(f"The stratum {self.stratum} has no place on the plan.")

    @property
    def area_m2(self) -> float:
        return sum(r.area_m2 for r in self.rectangles)


@dataclass(frozen=True)
class Blocked:
    """Where no ring can stand: a joint, drain, paint line, parked car."""

    place: Rectangle
    reason: str


@dataclass(frozen=True)
class FixedPoint:
    name: str
    right_m: float
    up_m: float


@dataclass(frozen=True)
class DrawnSpot:
    """One place of the draw.

    order     within its stratum, from 1, skipped ones counted: the order in which they are taken
    numbers   the random numbers used: of the rectangle, of its width, of its depth
    spare     taken only if one before it cannot be tested
    on_fixed  name of the fixed point it fell on, else ""; allowed, counted once in each use
    skipped   why it is not taken, else ""
    """

    stratum: Stratum
    order: int
    right_m: float
    up_m: float
    numbers: tuple[float, float, float]
    spare: bool = False
    on_fixed: str = ""
    skipped: str = ""


@dataclass(frozen=True)
class Draw:
    """seed, the places in the order drawn, and the places skipped with their reasons."""

    seed: int
    spots: tuple[DrawnSpot, ...]
    skipped: tuple[DrawnSpot, ...]


def required_spot_count(area: float, system: System) -> int:
    """Spots for an area in the unit of `system`, ft2 | m2. Store which system counted."""
    if not (math.isfinite(area) and area > 0):
        raise SpotError(f"An area must be above zero, not {area:g}.")
    steps = max(area - FIRST_AREA[system], 0.0) / FURTHER_AREA[system]
    return FIRST_SPOTS + math.ceil(steps - OVER_AND_BACK)


def least_counts(strata: Sequence[StratumPlan]) -> dict[Stratum, int]:
    """At least 2 at the run-on edge and 1 in each other stratum that is there."""
    return {s.stratum: 2 if s.stratum is Stratum.RUN_ON_EDGE else 1 for s in strata}


def draw_spots(
    strata: Sequence[StratumPlan],
    *,
    seed: int,
    counts: Mapping[Stratum, int] | None = None,
    spares: int = 3,
    blocked: Sequence[Blocked] = (),
    fixed: Sequence[FixedPoint] = (),
) -> Draw:
    """A random-stratified draw: random number times length, random number times width.

    strata   each once, with its rectangles
    seed     each stratum draws from its own stream of numbers made from it
    counts   spots by stratum, at least `least_counts`; None for these
    spares   further places of each stratum, taken in order where a spot cannot be tested

    A place that is blocked or within 1 m of one already taken is skipped and listed with its
    reason. Raises SpotError where too few counts are asked or a stratum has no room.
    """
    wanted = dict(least_counts(strata))
    if len(wanted) != len(strata):
        raise SpotError("A stratum is given twice.")
    for stratum, count in (counts or {}).items():
        if stratum not in wanted:
            raise SpotError(f"The stratum “{stratum.words}” is not on the plan.")
        if count < wanted[stratum]:
            raise SpotError(
                f"The stratum “{stratum.words}” takes at least {wanted[stratum]} spots."
            )
        wanted[stratum] = count
    taken: list[DrawnSpot] = []
    skipped: list[DrawnSpot] = []
    # All counted spots before any spare, so that a spare never crowds out a counted one.
    streams = [_Stream(plan, random.Random(f"{seed}:{plan.stratum.value}")) for plan in strata]
    for spare in (False, True):
        for stream in streams:
            number = spares if spare else wanted[stream.plan.stratum]
            for _ in range(number):
                taken.append(_next_spot(stream, taken, skipped, blocked, fixed, spare))
    return Draw(seed, tuple(taken), tuple(skipped))


@dataclass
class _Stream:
    plan: StratumPlan
    numbers: random.Random
    order: int = field(default=0)

    def next_place(self) -> DrawnSpot:
        self.order += 1
        used = (self.numbers.random(), self.numbers.random(), self.numbers.random())
        rest = used[0] * self.plan.area_m2
        chosen = self.plan.rectangles[-1]
        for rectangle in self.plan.rectangles:
            if rest < rectangle.area_m2:
                chosen = rectangle
                break
            rest -= rectangle.area_m2
        right = chosen.right_m + used[1] * chosen.width_m
        up = chosen.up_m + used[2] * chosen.depth_m
        return DrawnSpot(self.plan.stratum, self.order, right, up, used)


def _next_spot(
    stream: _Stream,
    taken: Sequence[DrawnSpot],
    skipped: list[DrawnSpot],
    blocked: Sequence[Blocked],
    fixed: Sequence[FixedPoint],
    spare: bool,
) -> DrawnSpot:
    for _ in range(MOST_TRIES):
        place = stream.next_place()
        reason = _why_not(place, taken, blocked)
        if not reason:
            return _marked(place, spare=spare, on_fixed=_fixed_under(place, fixed))
        skipped.append(_marked(place, spare=spare, skipped=reason))
    raise SpotError(f"The stratum {stream.plan.stratum} has no room for so many spots.")


def _marked(place: DrawnSpot, *, spare: bool, on_fixed: str = "", skipped: str = "") -> DrawnSpot:
    return DrawnSpot(
        place.stratum,
        place.order,
        place.right_m,
        place.up_m,
        place.numbers,
        spare,
        on_fixed,
        skipped,
    )


def _why_not(place: DrawnSpot, taken: Sequence[DrawnSpot], blocked: Sequence[Blocked]) -> str:
    for block in blocked:
        if block.place.is_within(place.right_m, place.up_m, RING_RADIUS_M):
            return block.reason
    for other in taken:
        if math.hypot(place.right_m - other.right_m, place.up_m - other.up_m) < NEAREST_M:
            return f"nearer than 1 m to {other.stratum} {other.order}"
    return ""


def _fixed_under(place: DrawnSpot, fixed: Sequence[FixedPoint]) -> str:
    for point in fixed:
        if math.hypot(place.right_m - point.right_m, place.up_m - point.up_m) < 2 * RING_RADIUS_M:
            return point.name
    return ""
