"""Whether a machine can get to a pavement: axle, height, width and turning against the way in."""

from collections.abc import Callable, Iterator
from typing import Protocol

from registry.planning.rules import Breach, Rule
from registry.units import Kind, System, show_limit, show_size


class Sizes(Protocol):
    """Kilograms on the heaviest axle, metres; of a machine what it has, of a way in its limits.

    None: of a machine not known, of a way in no limit.
    """

    @property
    def axle_kg(self) -> float | None: ...
    @property
    def height_m(self) -> float | None: ...
    @property
    def width_m(self) -> float | None: ...
    @property
    def turning_m(self) -> float | None: ...


def size_breaches(machine: Sizes, limits: Sizes, who: str) -> Iterator[Breach]:
    """Yield a breach for each limit that the machine is over, or not known to keep."""
    for rule, has, allowed, kind, what in (
        (Rule.AXLE, machine.axle_kg, limits.axle_kg, Kind.MASS, "on an axle"),
        (Rule.HEIGHT, machine.height_m, limits.height_m, Kind.LENGTH, "high"),
        (Rule.WIDTH, machine.width_m, limits.width_m, Kind.LENGTH, "wide"),
        (Rule.TURNING, machine.turning_m, limits.turning_m, Kind.LENGTH, "to turn in"),
    ):
        if allowed is None:
            continue
        at_most = f"At most {_both(show_limit, allowed, kind)} {what}"
        if has is None:
            yield Breach(rule, f"{at_most}; what {who} has is not known.")
        elif has > allowed:
            yield Breach(rule, f"{at_most}; {who} has {_both(show_size, has, kind)}.")


def _both(show: Callable[[float, Kind, System], str], value: float, kind: Kind) -> str:
    """A size in both systems, since a sign at a gate may be in either."""
    return f"{show(value, kind, System.SI)} ({show(value, kind, System.INCH_POUND)})"
