"""Some loads or panels against the rest, and two panels side by side of different loads.

Means are weighted by area. A comparison shows; it proves no cause.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from registry.placing.faults import NotGiven
from registry.placing.load_shares import LoadShares
from registry.plan import Panel

MOST_PAIRS = 12
"""Of panels side by side so many are shown, the largest difference first."""
NOTABLE = 0.10
"""Raveled share from which a panel that fits no pattern is listed. House rule, no source."""
_TOUCH_M = 0.3  # a corner is no neighbour: two panels share at least about a foot of joint
_APART_M = 0.03  # a joint is a saw cut or an inch of filler wide


@dataclass(frozen=True)
class Side:
    """The named ones of a comparison: area-weighted mean of their shares, and area."""

    names: tuple[str, ...]
    mean: float
    area_m2: float


@dataclass(frozen=True)
class Compared:
    """A group against the rest; `left_out` are those without a number."""

    group: Side
    rest: Side
    left_out: tuple[str, ...]


def against_the_rest(
    shares: Mapping[str, float | NotGiven], areas_m2: Mapping[str, float], group: Collection[str]
) -> Compared | NotGiven:
    """Area-weighted mean of a group and of the rest: loads 7 to 9, the panels in a plow zone.

    shares  name of load or panel to raveled share or change of it
    """
    numbers = {name: value for name, value in shares.items() if not isinstance(value, NotGiven)}
    inside = [name for name in numbers if name in group]
    outside = [name for name in numbers if name not in group]
    if not inside or not outside:
        return NotGiven("There is nothing to compare: one side has no number.")
    left_out = tuple(name for name in shares if name not in numbers)
    return Compared(_side(numbers, areas_m2, inside), _side(numbers, areas_m2, outside), left_out)


def over(values: Mapping[str, float | None], limit: float) -> tuple[str, ...]:
    """Names whose value lies over a limit: loads covered later than 25 minutes."""
    return tuple(name for name, value in values.items() if value is not None and value > limit)


def outside(
    shares: LoadShares,
    raveled: Mapping[str, float],
    loads: Collection[str],
    zone: Collection[str],
    *,
    least: float,
) -> tuple[str, ...]:
    """Panels raveled by at least a share that hold none of some loads and lie in no zone.

    They fit neither pattern and are to be looked at by name.
    """
    return tuple(
        panel
        for panel in shares.areas_m2
        if raveled.get(panel, 0.0) >= least
        and panel not in zone
        and not any(piece.load in loads for piece in shares.of_panel(panel))
    )


@dataclass(frozen=True)
class SideBySide:
    """Two panels with a joint between and no load in common, the more raveled one first."""

    panel: str
    loads: str
    raveled: float
    beside: str
    beside_loads: str
    beside_raveled: float

    @property
    def difference(self) -> float:
        return self.raveled - self.beside_raveled


def side_by_side(
    shares: LoadShares, panels: Sequence[Panel], raveled: Mapping[str, float]
) -> tuple[SideBySide, ...]:
    """Neighbouring panels that share no load, the largest difference first.

    raveled  panel to raveled share of one day and one method; panels without one are left out
    """
    seen = [panel for panel in panels if panel.name in raveled]
    pairs = []
    for n, one in enumerate(seen):
        for other in seen[n + 1 :]:
            own, others = _loads(shares, one.name), _loads(shares, other.name)
            if own and others and not own & others and _are_neighbours(one, other):
                pairs.append(_pair(shares, raveled, one.name, other.name))
    return tuple(sorted(pairs, key=lambda pair: (-pair.difference, pair.panel, pair.beside)))


def _pair(shares: LoadShares, raveled: Mapping[str, float], one: str, other: str) -> SideBySide:
    more, less = (one, other) if raveled[one] >= raveled[other] else (other, one)
    return SideBySide(
        more, shares.words_of(more), raveled[more], less, shares.words_of(less), raveled[less]
    )


def _loads(shares: LoadShares, panel: str) -> set[str]:
    return {piece.load for piece in shares.of_panel(panel)}


def _are_neighbours(one: Panel, other: Panel) -> bool:
    if one.polygon.distance(other.polygon) > _APART_M:
        return False
    near = one.polygon.buffer(_APART_M).intersection(other.polygon.exterior)
    return bool(near.length >= _TOUCH_M)


def _side(
    numbers: Mapping[str, float], areas_m2: Mapping[str, float], names: Sequence[str]
) -> Side:
    area = math.fsum(areas_m2[name] for name in names)
    total = math.fsum(numbers[name] * areas_m2[name] for name in names)
    return Side(tuple(names), total / area, area)
