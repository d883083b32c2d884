"""Whether a machine can get to a pavement: axle, height, width and turning against the way in."""

from collections.abc import Iterator
from typing import Protocol

from registry.planning.rules import Breach, Rule


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
    for rule, has, allowed, what in (
        (Rule.AXLE, machine.axle_kg, limits.axle_kg, "kg on an axle"),
        (Rule.HEIGHT, machine.height_m, limits.height_m, "m high"),
        (Rule.WIDTH, machine.width_m, limits.width_m, "m wide"),
        (Rule.TURNING, machine.turning_m, limits.turning_m, "m to turn in"),
    ):
        if allowed is None:
            continue
        if has is None:
            yield Breach(rule, f"At most {allowed:g} {what}; what {who} has is not known.")
        elif has > allowed:
            yield Breach(rule, f"At most {allowed:g} {what}; {who} has {has:g}.")
