"""How much of each surface is its run-on edge, or why nobody can say so."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from registry.models.choices import StratumKind

NO_EDGE = (
    "Not decided: no run-on edge is recorded here. If there is none, the share away from one is "
    "that of the whole."
)
NO_EDGE_AREA = "Not decided: the area of the run-on edge is not known."
NO_REST_AREA = "Not decided: the area away from the run-on edge is not known."
EDGE_TOO_LARGE = (
    "Not decided: the run-on edge is recorded as larger than the whole pavement. Look at both "
    "areas."
)
LATER_PANELS = (
    "Not decided: panels placed later are of another age, and their shares are not worked out."
)


@dataclass(frozen=True)
class SurfaceParts:
    """edge_part of the area, 0 to 1, None where it is not known, and `why_not` says why."""

    has_edge: bool
    edge_part: float | None = None
    why_not: str = ""


def surface_parts(
    areas_m2: Mapping[int, float | None],
    tested_at_edge: Collection[int],
    of_strata: Iterable[tuple[int, str, float | None]],
) -> dict[int, SurfaceParts]:
    """Return the parts of pavements; the area of a pavement goes before the sum of its strata.

    areas_m2        of each pavement, by its id; None where it is not known
    tested_at_edge  pavements with a spot at a run-on edge: they have one, drawn or not
    of_strata       pavement, kind and area of each stratum
    """
    strata: dict[int, dict[str, float | None]] = defaultdict(dict)
    for pavement, kind, area_m2 in of_strata:
        strata[pavement][kind] = area_m2
    return {pk: _parts(area, strata[pk], pk in tested_at_edge) for pk, area in areas_m2.items()}


def _parts(
    area_m2: float | None, strata: dict[str, float | None], tested_at_edge: bool
) -> SurfaceParts:
    edge_kind = StratumKind.RUN_ON_EDGE.value
    if edge_kind not in strata and not tested_at_edge:
        return SurfaceParts(has_edge=False, why_not=NO_EDGE)
    edge = strata.get(edge_kind)
    if not edge:
        return SurfaceParts(has_edge=True, why_not=NO_EDGE_AREA)
    whole = area_m2 or _summed(edge, [a for kind, a in strata.items() if kind != edge_kind])
    if whole is None:
        return SurfaceParts(has_edge=True, why_not=NO_REST_AREA)
    if edge > whole:
        return SurfaceParts(has_edge=True, why_not=EDGE_TOO_LARGE)
    return SurfaceParts(has_edge=True, edge_part=edge / whole)


def _summed(edge: float, others: Iterable[float | None]) -> float | None:
    """The whole from its strata; None where one has no area, or the edge is all there is."""
    found = list(others)
    known = [area for area in found if area]
    return edge + sum(known) if known and len(known) == len(found) else None
