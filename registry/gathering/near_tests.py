"""Tests of one day by the square metre of their spots, so that neighbours are found at once."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from math import floor

from registry.measuring.doubts import NEAREST_M
from registry.models import InfiltrationTest

REACH_M = max(NEAREST_M.values())
"""The farthest at which two spots may be too near each other, m; also the side of a square."""


class NearTests:
    """Tests whose spots have a place, by the square they lie in."""

    def __init__(self, tests: Sequence[InfiltrationTest]) -> None:
        self.tests = tests

    @cached_property
    def squares(self) -> dict[tuple[int, int], list[InfiltrationTest]]:
        """Return the tests by square: laid out when first asked, which most pages never do."""
        found: dict[tuple[int, int], list[InfiltrationTest]] = defaultdict(list)
        for row in self.tests:
            if row.spot.right_m is not None and row.spot.up_m is not None:
                found[_square(row.spot.right_m, row.spot.up_m)].append(row)
        return found

    def around(self, right_m: float, up_m: float) -> Iterator[InfiltrationTest]:
        """Yield every test within REACH_M of a place, and some a little farther off."""
        across, along = _square(right_m, up_m)
        for right in (across - 1, across, across + 1):
            for up in (along - 1, along, along + 1):
                yield from self.squares.get((right, up), ())


def _square(right_m: float, up_m: float) -> tuple[int, int]:
    return floor(right_m / REACH_M), floor(up_m / REACH_M)
