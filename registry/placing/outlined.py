"""Raveled share of each panel from what was seen of raveling on one day (N17).

Outlines are laid one over the other and clipped to each panel, so that no ground counts twice. An
area without an outline is known by its panel alone. Ways of grading are never added up: a panel
that two ways reach on one day gets no number, and both are told.
"""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import shapely
from shapely.geometry.base import BaseGeometry

from registry.placing.ways import OF_DEFECTS
from registry.plan import Panel

_SLIVER_M2 = 0.001  # an outline that misses a joint by the width of a pen
_OVER = 1.02  # areas are taped to about 2 %


class Way(StrEnum):
    """How an extent on a panel came about."""

    PLAN = "plan_outline"
    PHOTO = "photo_outline"
    SHARE = "panel_area"

    @property
    def word(self) -> str:
        return OF_DEFECTS[self.value]


@dataclass(frozen=True)
class Seen:
    """What was seen of one defect on one day: an outline in metres, or an area within a panel.

    ref  to name it by, "defect 3"
    """

    ref: str
    way: Way
    outline: BaseGeometry | None = None
    panel: str = ""
    area_m2: float | None = None


@dataclass(frozen=True)
class Shares:
    """Raveled share by panel for each way, and (panel, why) where none may be given."""

    by_way: Mapping[Way, Mapping[str, float]]
    untold: tuple[tuple[str, str], ...]


def raveled_shares(
    seen: Sequence[Seen],
    panels: Iterable[Panel],
    *,
    clear: Collection[str] = (),
    unknown: Collection[str] = (),
) -> Shares:
    """Return the share of every panel that is known on a day.

    clear    panels walked on that day: without any extent their share is 0, in each way
    unknown  panels of raveling whose extent nobody took on that day: they get no number
    """
    by_way: dict[Way, dict[str, float]] = {way: {} for way in Way if _is_used(way, seen)}
    untold: list[tuple[str, str]] = []
    for panel in panels:
        found, why = _of_panel(panel, seen)
        if panel.name in unknown and not why:
            why = "Raveling is known there whose extent nobody took on that day."
        if len(found) > 1 and not why:
            told = ", ".join(f"{way.word} {100 * share:.0f} %" for way, share in found.items())
            why = f"Graded in {len(found)} ways, which are not added: {told}."
        if why:
            untold.append((panel.name, why))
        elif found:
            ((way, share),) = found.items()
            by_way[way][panel.name] = share
        elif panel.name in clear:
            for shares in by_way.values():
                shares[panel.name] = 0.0
    return Shares({way: own for way, own in by_way.items() if own}, tuple(untold))


def _is_used(way: Way, seen: Iterable[Seen]) -> bool:
    return any(one.way == way for one in seen)


def _of_panel(panel: Panel, seen: Iterable[Seen]) -> tuple[dict[Way, float], str]:
    """The share by way, or why there is none."""
    found: dict[Way, float] = {}
    for way in dict.fromkeys(one.way for one in seen if one.outline is not None):
        if own := touching(seen, panel, way):
            found[way] = outlined_share([one.outline for one in own if one.outline], panel)
    areas = [one.area_m2 for one in touching(seen, panel, Way.SHARE) if one.area_m2 is not None]
    if len(areas) > 1:
        return {}, f"{len(areas)} areas without an outline may lie on each other."
    if areas:
        if not (math.isfinite(areas[0]) and 0 <= areas[0] <= _OVER * panel.area_m2):
            return {}, "The area written is larger than the panel."
        found[Way.SHARE] = written_share(areas[0], panel)
    return found, ""


def touching(seen: Iterable[Seen], panel: Panel, way: Way) -> tuple[Seen, ...]:
    """What of one way of grading counts in a panel: outlines that reach into it, its areas."""
    return tuple(one for one in seen if one.way == way and _is_in(one, panel))


def _is_in(one: Seen, panel: Panel) -> bool:
    if one.outline is None:
        return one.panel == panel.name and one.area_m2 is not None
    return bool(shapely.intersection(one.outline, panel.polygon).area > _SLIVER_M2)


def outlined_share(outlines: Iterable[BaseGeometry], panel: Panel) -> float:
    """Area of outlines laid one over the other within a panel, over the area of the panel."""
    parts = [shapely.intersection(outline, panel.polygon) for outline in outlines]
    return written_share(float(shapely.union_all(parts).area), panel)


def written_share(area_m2: float, panel: Panel) -> float:
    """An area over that of the panel, 1 at most: areas are taped to about 2 %."""
    return min(float(area_m2) / panel.area_m2, 1.0)
