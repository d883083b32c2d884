"""Which load lies in which panel, and what each load raveled (N17).

The spreads of the loads (lane, from, to along the lane) are laid over the panels of a day. The
unit of comparison is the load: counting panels would count one trial many times.
"""

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon, box

from registry.placing.faults import NotGiven, PlacingError
from registry.plan import Panel

_SLIVER_M2 = 0.01  # feet from a tape miss a joint by that much, see plan.layout
_SLIVER_M = 0.02  # and two spreads miss each other by that much


@dataclass(frozen=True)
class Spread:
    """A part of a load along one lane, metres up from the datum line; a load may have several."""

    load: str
    lane: str
    from_m: float
    to_m: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.from_m) and math.isfinite(self.to_m)):
            raise PlacingError(f"Load {self.load}: say from where to where along lane {self.lane}.")
        if self.to_m <= self.from_m:
            raise PlacingError(f"Load {self.load}, lane {self.lane}: “to” lies beyond “from”.")


@dataclass(frozen=True)
class Piece:
    """What one load has of one panel; `share` is area_m2 over the area of the panel."""

    load: str
    panel: str
    area_m2: float
    share: float
    outline: Polygon


@dataclass(frozen=True)
class LoadShares:
    """The pieces, in the order of panels and then of loads as given.

    loads      every load, in the order given
    areas_m2   panel to its area
    off_panel  (load, m2) of what lies on no panel: beyond the last joint, or feet misread
    """

    loads: tuple[str, ...]
    areas_m2: Mapping[str, float]
    pieces: tuple[Piece, ...]
    off_panel: tuple[tuple[str, float], ...]

    @cached_property
    def _by_panel(self) -> dict[str, tuple[Piece, ...]]:
        return {p: tuple(x for x in self.pieces if x.panel == p) for p in self.areas_m2}

    @cached_property
    def _by_load(self) -> dict[str, tuple[Piece, ...]]:
        return {load: tuple(x for x in self.pieces if x.load == load) for load in self.loads}

    def of_panel(self, panel: str) -> tuple[Piece, ...]:
        """The loads in a panel. KeyError on a panel that is not of the plan."""
        return self._by_panel[panel]

    def of_load(self, load: str) -> tuple[Piece, ...]:
        """The panels of a load."""
        return self._by_load[load]

    def area_of(self, load: str) -> float:
        """m2 of a load on panels."""
        return math.fsum(piece.area_m2 for piece in self._by_load[load])

    def unfilled(self, least: float = 0.01) -> tuple[tuple[str, float], ...]:
        """(panel, share) that no load accounts for, where it is more than `least`."""
        gaps = ((p, 1 - math.fsum(x.share for x in own)) for p, own in self._by_panel.items())
        return tuple((panel, gap) for panel, gap in gaps if gap > least)

    def words_of(self, panel: str) -> str:
        """ "8 (33%)+9 (67%)": whole percents that add up as the panel is filled."""
        own = self._by_panel[panel]
        percents = _whole_percents([piece.share for piece in own])
        return "+".join(f"{x.load} ({p}%)" for x, p in zip(own, percents, strict=True))

    def over_panel(self, panel: str, by_load: Mapping[str, float]) -> float | NotGiven:
        """Area-weighted mean over a panel of a number of its loads, its lag for example."""
        own = self._by_panel[panel]
        return _weighted([(x.area_m2, by_load.get(x.load)) for x in own], f"panel {panel}")

    def over_load(self, load: str, by_panel: Mapping[str, float]) -> float | NotGiven:
        """Area-weighted mean over a load of a number of its panels."""
        own = self._by_load[load]
        return _weighted([(x.area_m2, by_panel.get(x.panel)) for x in own], f"load {load}")


def lay_over(spreads: Sequence[Spread], panels: Iterable[Panel]) -> LoadShares:
    """Lay the spreads over the panels of one day.

    panels  of the day the concrete was new; parts of a saw cut count as panels of their own
    Raises PlacingError where two spreads lie on each other, a lane has no panel, or a lane curves.
    """
    on_plan = list(panels)
    lanes = {panel.letter for panel in on_plan}
    _refuse_overlap(spreads)
    for one in spreads:
        if one.lane not in lanes:
            raise PlacingError(f"Load {one.load}: there is no lane {one.lane} on the plan.")
    if turned := next((panel.name for panel in on_plan if panel.turned_deg), ""):
        raise PlacingError(
            f"{turned} lies in a curve: limits in feet along the lane do not say which part of it "
            "a load filled."
        )
    loads = tuple(dict.fromkeys(one.load for one in spreads))
    pieces = tuple(x for panel in on_plan for x in _pieces_of(panel, spreads, loads))
    areas = {panel.name: panel.area_m2 for panel in on_plan}
    return LoadShares(loads, areas, pieces, tuple(_off_panel(spreads, on_plan)))


def raveled_by_load(
    shares: LoadShares, raveled: Mapping[str, float], methods: Mapping[str, str]
) -> dict[str, float | NotGiven]:
    """N17 by load: raveled share of each panel, weighted by the part that the load filled.

    raveled  panel to raveled share of its area, 0 to 1, of one day
    methods  panel to the method of its grading; a load over two methods gets no number
    """
    found: dict[str, float | NotGiven] = {}
    for load in shares.loads:
        used = {methods.get(piece.panel, "") for piece in shares.of_load(load)} - {""}
        if len(used) > 1:
            listed = " and ".join(sorted(used))
            found[load] = NotGiven(f"Graded by {listed}: show them side by side only.")
        else:
            found[load] = shares.over_load(load, raveled)
    return found


def change_by_load(
    before: Mapping[str, float | NotGiven], after: Mapping[str, float | NotGiven]
) -> dict[str, float | NotGiven]:
    """Raveled share gained by each load between two looks, 0.30 for 30 points."""
    changes: dict[str, float | NotGiven] = {}
    for load, then in before.items():
        now = after[load]
        if isinstance(then, NotGiven) or isinstance(now, NotGiven):
            changes[load] = then if isinstance(then, NotGiven) else now
        else:
            changes[load] = now - then
    return changes


def _pieces_of(panel: Panel, spreads: Sequence[Spread], loads: tuple[str, ...]) -> list[Piece]:
    found = []
    for one in sorted(spreads, key=lambda x: (loads.index(x.load), x.from_m)):
        if one.lane != panel.letter:
            continue
        outline = panel.polygon.intersection(_strip(one, panel.polygon))
        if isinstance(outline, Polygon) and outline.area > _SLIVER_M2:
            area = float(outline.area)
            found.append(Piece(one.load, panel.name, area, area / panel.area_m2, outline))
    return found


def _strip(one: Spread, around: Polygon) -> Polygon:
    left, _, right, _ = around.bounds
    return box(left, one.from_m, right, one.to_m)


def _off_panel(spreads: Sequence[Spread], panels: list[Panel]) -> Iterable[tuple[str, float]]:
    """What of a spread lies on no panel of its lane, by the width of the lane's widest panel."""
    for one in spreads:
        lane = [panel for panel in panels if panel.letter == one.lane]
        left = min(panel.polygon.bounds[0] for panel in lane)
        right = max(panel.polygon.bounds[2] for panel in lane)
        low = min(panel.polygon.bounds[1] for panel in lane)
        high = max(panel.polygon.bounds[3] for panel in lane)
        beyond = max(low - one.from_m, 0.0) + max(one.to_m - high, 0.0)
        if beyond > _SLIVER_M:
            yield one.load, beyond * (right - left)


def _refuse_overlap(spreads: Sequence[Spread]) -> None:
    in_order = sorted(spreads, key=lambda x: (x.lane, x.from_m))
    for one, other in itertools.pairwise(in_order):
        if one.lane == other.lane and other.from_m < one.to_m - _SLIVER_M:
            raise PlacingError(
                f"Loads {one.load} and {other.load} lie on each other in lane {one.lane}: look at "
                "their feet again."
            )


def _weighted(parts: list[tuple[float, float | None]], where: str) -> float | NotGiven:
    if not parts:
        return NotGiven(f"No limits of {where} are known on this plan.")
    total, area = 0.0, 0.0
    for weight, value in parts:
        if value is None:
            return NotGiven(f"Something of {where} was not measured.")
        total, area = total + weight * value, area + weight
    return total / area


def _whole_percents(shares: list[float]) -> list[int]:
    """Rounded so that they add up; of two equal remainders the smaller share is raised."""
    exact = [round(100 * share, 6) for share in shares]
    whole = [math.floor(value) for value in exact]
    left = round(math.fsum(exact)) - sum(whole)
    by_remainder = sorted(range(len(exact)), key=lambda n: (whole[n] - exact[n], exact[n]))
    for n in by_remainder[:left]:
        whole[n] += 1
    return whole
