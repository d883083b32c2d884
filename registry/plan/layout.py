"""A plan as it lay through the years: datum, panels with dates, baseline, squares, features.

Nothing is ever overwritten: `cut`, `replaced` and `ended` answer a new layout in which the old
panels end and stay readable under their old names. A re-drawn plan is another layout with the
next number, and a list of old names to new (`renaming.py`).
"""

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from shapely import Point as ShapelyPoint
from shapely import Polygon, STRtree

from registry.plan.datum import Datum
from registry.plan.faults import PlaceError, PlanError
from registry.plan.features import Feature, FeatureKind
from registry.plan.panels import CutAcross, Panel, PanelName, cut_panel
from registry.plan.points import TOUCH_M, Point
from registry.plan.squares import Squares
from registry.plan.stations import Baseline, OffsetFrom
from registry.units import System

_OVERLAP_M2 = 0.01  # a strip of 2 mm along a panel: taped corners miss each other by that much


@dataclass(frozen=True)
class Layout:
    """The whole plan of one pavement. `system` is the one its places are written in."""

    system: System
    datum: Datum
    panels: tuple[Panel, ...] = ()
    baseline: Baseline | None = None
    squares: Squares | None = None
    outline: tuple[Point, ...] = ()
    features: tuple[Feature, ...] = ()
    number: int = 1
    drawn_on: date | None = None

    def __post_init__(self) -> None:
        if not (self.panels or self.baseline or self.squares):
            raise PlanError(
                "A plan has panels, stations or squares; without one nothing has a place."
            )
        if self.outline and not (len(self.outline) >= 3 and Polygon(self.outline).is_valid):
            raise PlanError("The outline goes round the pavement once, in order.")
        for left, right in self._overlapping():
            raise PlanError(f"{_dated(left)} and {_dated(right)} lie on each other.")
        for name, bearers in self._by_name.items():
            for before, after in itertools.pairwise(bearers):
                if before.exists_to is None or _begins(after) < before.exists_to:
                    raise PlanError(f"The name {name} is used twice on the same day.")
                if before.polygon.intersection(after.polygon).area <= _OVERLAP_M2:
                    raise PlanError(f"{name} was the name of another place; it is not used again.")

    def _overlapping(self) -> Iterator[tuple[Panel, Panel]]:
        if not self.panels:
            return
        pairs = self._tree.query([panel.polygon for panel in self.panels], predicate="intersects")
        for first, second in pairs.T:
            left, right = self.panels[first], self.panels[second]
            if first >= second or left.name == right.name or not _same_days(left, right):
                continue
            if left.polygon.intersection(right.polygon).area > _OVERLAP_M2:
                yield (left, right)

    @cached_property
    def _tree(self) -> STRtree:
        return STRtree([panel.polygon for panel in self.panels])

    @cached_property
    def _by_name(self) -> dict[str, tuple[Panel, ...]]:
        named: dict[str, list[Panel]] = {}
        for panel in sorted(self.panels, key=_begins):
            named.setdefault(panel.name, []).append(panel)
        return {name: tuple(panels) for name, panels in named.items()}

    def panels_on(self, on: date) -> tuple[Panel, ...]:
        """Panels that existed on a day, in the order of their names."""
        return tuple(
            sorted(
                (panel for panel in self.panels if panel.exists_on(on)),
                key=lambda panel: (panel.panel_name.lane, panel.number, panel.suffix),
            )
        )

    def features_on(self, on: date) -> tuple[Feature, ...]:
        return tuple(feature for feature in self.features if feature.exists_on(on))

    def panels_ever_named(self, name: PanelName | str) -> tuple[Panel, ...]:
        """Every panel that ever bore a name, oldest first; empty if none did."""
        return self._by_name.get(str(name), ())

    def panel_named(self, name: PanelName | str, on: date | None = None) -> Panel:
        """The panel that bore a name on a day.

        Without a day the name must have had one bearer only. Raises PlaceError with what the
        plan knows: the days of the panels of that name, or the letters and numbers there are.
        """
        bearers = self.panels_ever_named(name)
        if not bearers:
            raise PlaceError(f"There is no panel {name} on plan {self.number}. {self._span()}")
        if on is None:
            if len(bearers) == 1:
                return bearers[0]
            raise PlaceError(
                f"{name} was placed more than once: {self._days(bearers)}. Say the day meant."
            )
        for panel in bearers:
            if panel.exists_on(on):
                return panel
        parts = sorted({panel.name for panel in self.panels if panel.cut_from == str(name)})
        cut = f" It was cut into {' and '.join(parts)}." if parts else ""
        raise PlaceError(
            f"There was no panel {name} on {on.isoformat()}: {self._days(bearers)}.{cut}"
        )

    def _span(self) -> str:
        names = [panel.panel_name for panel in self.panels]
        if not names:
            return "This plan has no panels."
        lanes = sorted({(name.lane, name.letter) for name in names})
        highest = max(name.number for name in names)
        return f"Its lanes are {lanes[0][1]} to {lanes[-1][1]}, its numbers go up to {highest}."

    @staticmethod
    def _days(bearers: Iterable[Panel]) -> str:
        return "; ".join(_dated(panel) for panel in bearers)

    def panel_at(self, right_m: float, up_m: float, on: date) -> Panel | None:
        """The panel a point lies in on a day, or None.

        On a joint the panel on the home side has it: lower letter, then lower number, then a
        before b. So a crack that runs in the joint C8|B8 is B8's, and is counted once.
        """
        near = self._tree.query(ShapelyPoint(right_m, up_m), predicate="dwithin", distance=TOUCH_M)
        there = [self.panels[index] for index in near if self.panels[index].exists_on(on)]
        return min(there, key=lambda panel: _home_first(panel), default=None)

    @cached_property
    def reach(self) -> tuple[float, float, float, float]:
        """Lowest and highest right and up of everything drawn: (left, bottom, right, top), m."""
        points: list[Point] = [(0.0, 0.0), *self.outline]
        for panel in self.panels:
            points.extend(panel.polygon.exterior.coords)
        if self.squares:
            side = self.squares.side_m
            points.append((self.squares.rights * side, self.squares.ups * side))
        if self.baseline:
            wide = self.baseline.width_m or 0.0
            points.extend(self.baseline.points)
            points.extend(
                self.baseline.to_plan(station, wide - self.baseline.center_right_m)
                for station in self.baseline.stations_of_points
            )
        rights, ups = [point[0] for point in points], [point[1] for point in points]
        return (min(rights), min(ups), max(rights), max(ups))

    @cached_property
    def any_baseline(self) -> Baseline:
        """The path's baseline, or for a lot the line from the datum straight up."""
        if self.baseline is not None:
            return self.baseline
        return Baseline(((0.0, 0.0), (0.0, max(self.reach[3], TOUCH_M * 2))), OffsetFrom.LEFT_EDGE)

    def replaced(self, name: str, on: date, *, placed_on: date | None = None) -> "Layout":
        """Take out a panel and place a new one of the same name.

        placed_on: day of the new concrete; the day itself when not given. Fixed points in it
        end, and a point "A4 new" begins with its own as-built (rates do not carry over).
        """
        old = self.panel_named(name, on)
        new = replace(
            old, exists_from=on, exists_to=old.exists_to, placed_on=placed_on or on, cut_from=""
        )
        panels = [replace(old, exists_to=on) if panel == old else panel for panel in self.panels]
        features: list[Feature] = []
        for feature in self.features:
            falls = feature.exists_on(on) and feature.kind == FeatureKind.FIXED_POINT
            if falls and self.panel_at(*feature.points[0], on) == old:
                features.append(replace(feature, exists_to=on))
                fresh = replace(feature, name=f"{name} new", exists_from=on)
                features.append(fresh)
            else:
                features.append(feature)
        return replace(self, panels=(*panels, new), features=tuple(features))

    def cut(self, name: str, on: date, at_m: float, across: CutAcross) -> "Layout":
        """Saw-cut a panel into a (home side) and b; the whole one ends and stays readable."""
        old = self.panel_named(name, on)
        ended, first, second = cut_panel(old, on, at_m, across)
        panels = tuple(ended if panel == old else panel for panel in self.panels)
        return replace(self, panels=(*panels, first, second))

    def ended(self, name: str, on: date) -> "Layout":
        """Take out a panel for good; its name is not used again for another place."""
        old = self.panel_named(name, on)
        panels = tuple(
            replace(panel, exists_to=on) if panel == old else panel for panel in self.panels
        )
        return replace(self, panels=panels)


def _begins(panel: Panel) -> date:
    return panel.exists_from or date.min


def _home_first(panel: Panel) -> tuple[int, int, str]:
    return (panel.panel_name.lane, panel.number, panel.suffix)


def _same_days(left: Panel, right: Panel) -> bool:
    return _begins(left) < (right.exists_to or date.max) and _begins(right) < (
        left.exists_to or date.max
    )


def _dated(panel: Panel) -> str:
    """ "C8 (from 2023-08-24, ended 2025-05-13)" """
    days = []
    if panel.exists_from:
        days.append(f"from {panel.exists_from.isoformat()}")
    if panel.exists_to:
        days.append(f"ended {panel.exists_to.isoformat()}")
    return f"{panel.name} ({', '.join(days)})" if days else panel.name
