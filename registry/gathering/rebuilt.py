"""Measures of a crew -> where a lost datum was, in words they can walk to."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.plan import rebuilding
from registry.plan.lengths import with_unit
from registry.units import System


@dataclass(frozen=True)
class Rebuilt:
    """Where the datum may lie in the frame measured in, and the misfit, in words."""

    places: tuple[str, ...]
    misfit: str
    told: str


def from_ties(given: Mapping[str, Any], system: System) -> Rebuilt:
    """Where two tie lengths meet. Raises PlanError."""
    found = rebuilding.from_ties(
        tuple(given["first"][0]), given["first_tie"], tuple(given["second"][0]), given["second_tie"]
    )
    places = tuple(dict.fromkeys(_point(p, system) for p in found.candidates))
    told = "Two tie lengths meet in two places; which of them it is, is seen on the ground."
    if found.misfit_m > 0:
        told = "The two tie lengths do not meet; the gap between them is the misfit."
    return Rebuilt(places, with_unit(found.misfit_m, system), told)


def from_joints(given: Mapping[str, Any], system: System) -> Rebuilt:
    """Where joints found again put it, by least squares. Raises PlanError."""
    pairs = given["joints"]
    fit = rebuilding.best_fit([tuple(p) for p, _ in pairs], [tuple(f) for _, f in pairs])
    told = f"The farthest joint misses its place by {with_unit(fit.worst_m, system)}."
    return Rebuilt((_point(fit.datum_at, system),), with_unit(fit.misfit_m, system), told)


def _point(point: tuple[float, float], system: System) -> str:
    side = "R" if point[0] >= 0 else "L"
    up = "U" if point[1] >= 0 else "back"
    return f"{side} {with_unit(abs(point[0]), system)}, {up} {with_unit(abs(point[1]), system)}"
