"""Spots, wells, joints and strata of a pavement that is split -> the part each lies wholly in.

What lies on both parts, or at no place that can be read on the plan, stays with the whole and is
named, so that somebody begins it anew at its part.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date

from shapely import Point, Polygon, box, unary_union

from registry.gathering.shared_defects import layout_to_read, polygon_of, shape_as_written
from registry.models import Joint, ObservationWell, Pavement, Spot, Stratum
from registry.plan.shared_out import panels_under, part_of
from registry.units import System

Placed = Spot | ObservationWell | Joint | Stratum


@dataclass(frozen=True)
class SharedGround:
    """Each thing with its part, 0 or 1, and the words for what stays: "well W1, no place known"."""

    rows: tuple[tuple[Placed, int], ...]
    stays: tuple[str, ...]


@dataclass(frozen=True)
class _Grounds:
    """The panels of a day, by id and by name, and how a written place is found on them."""

    panels: dict[int, Polygon]
    named: dict[str, int]
    under: Callable[[str], frozenset[int]]


def share_ground(
    pavement: Pavement, shares: tuple[Collection[int], Collection[int]], on: date
) -> SharedGround:
    """Return what goes with which part; shares are the ids of their panels on the day."""
    grounds = _grounds(pavement, on)
    rows, stays = [], []
    for row, words, lies_on in _found(pavement, grounds):
        part = part_of(lies_on, shares)
        if part is not None:
            rows.append((row, part))
        else:
            stays.append(f"{words}, {'on both parts' if lies_on else 'no place known'}")
    return SharedGround(tuple(rows), tuple(stays))


def _grounds(pavement: Pavement, on: date) -> _Grounds:
    there = list(pavement.panels.standing().existing_on(on))
    panels = {panel.pk: polygon_of(panel) for panel in there}
    layout, system = layout_to_read(pavement), System(pavement.sheet_system)

    def under(place: str) -> frozenset[int]:
        shape = shape_as_written(place, layout, system, on)
        return panels_under(shape.geometry, panels) if shape is not None else frozenset()

    return _Grounds(panels, {panel.name.casefold(): panel.pk for panel in there}, under)


def _found(pavement: Pavement, grounds: _Grounds) -> list[tuple[Placed, str, frozenset[int]]]:
    """Return each thing with its words and the ids of the panels it lies on."""
    found: list[tuple[Placed, str, frozenset[int]]] = []
    for spot in pavement.spots.fixed().select_related("panel"):
        found.append((spot, f"fixed point {spot}", _under_spot(spot, grounds)))
    for well in pavement.wells.standing().order_by("pk"):
        found.append((well, f"well {well}", grounds.under(well.place)))
    for joint in pavement.joints.standing().order_by("pk"):
        found.append((joint, f"joint {joint}", _under_joint(joint.between, grounds)))
    for stratum in pavement.strata.standing().order_by("pk"):
        shape = unary_union([box(x, y, x + w, y + h) for x, y, w, h in stratum.rectangles])
        lies_on = panels_under(shape, grounds.panels)
        found.append((stratum, f"stratum {stratum}", lies_on))
    return found


def _under_spot(spot: Spot, grounds: _Grounds) -> frozenset[int]:
    if spot.panel_id in grounds.panels:
        return frozenset({spot.panel_id})
    if spot.right_m is not None and spot.up_m is not None:
        return panels_under(Point(spot.right_m, spot.up_m), grounds.panels)
    if spot.panel is not None:  # cut or replaced meanwhile: what lies at its place now
        return panels_under(polygon_of(spot.panel), grounds.panels)
    return grounds.under(spot.place)


def _under_joint(between: str, grounds: _Grounds) -> frozenset[int]:
    """By its two panels, "C8|B8": the ends of its line touch the panels beyond them too."""
    names = between.replace("/", "|").casefold().split("|")
    found = [grounds.named.get(name.strip()) for name in names]
    if len(found) == 2 and None not in found:
        return frozenset(pk for pk in found if pk is not None)
    return grounds.under(between)
