"""The same defect or a new one? Offers for a person to decide; nothing is merged here.

Same kind, same concrete, and outlines that overlap or centres within 1 ft where both were placed
by panel and pocket tape, 2 ft where one was by long tape, 4 ft where one was by wheel. Same place
in newer concrete, or after a repair: it recurs, a new defect with a link. (House rule, no source.)
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import shapely
from shapely import LineString, Polygon
from shapely import Point as ShapelyPoint

from registry.defects.faults import CannotCompare
from registry.defects.kinds import kind_of
from registry.plan.points import Point
from registry.plan.shapes import PlanShape, ShapeKind
from registry.units import Kind, System, show

WITHIN_M = {"panel": 1.0 * 0.3048, "tape": 2.0 * 0.3048, "wheel": 4.0 * 0.3048}
"""How far centres may lie apart, by the way of placing; of two ways the looser counts."""

_HAIR_M = 1e-9
_MENDED = frozenset({"repaired", "sound", "closed"})


@dataclass(frozen=True)
class Sighted:
    """A defect as it lies on the plan.

    ref                 number or key, given back in the offer
    kind                code of its kind
    concrete_placed_on  day the concrete there was placed, None if not known
    concrete            key of the panel as it was poured, None if not known
    outline             (right_m, up_m) from the datum; () where only the panel is known
    how                 "panel", "tape" or "wheel"
    is_area             the outline goes round an area; else 1 point is a spot, more are a line
    state               code of a known one's state, "" if not known
    """

    ref: str | int
    kind: str
    concrete_placed_on: date | None
    concrete: str | int | None
    outline: tuple[Point, ...]
    how: str
    is_area: bool = False
    state: str = ""

    def __post_init__(self) -> None:
        kind_of(self.kind)
        if self.how not in WITHIN_M:
            raise CannotCompare("Say how the place was found: by panel, tape or wheel.")
        if not all(math.isfinite(measure) for point in self.outline for measure in point):
            raise CannotCompare("The outline has a point that is not a number.")
        if self.is_area and self.outline and len(set(self.outline)) < 3:
            raise CannotCompare("An area has at least three corners.")


@dataclass(frozen=True)
class Offer:
    """One known defect that a new sighting may be.

    relation    "same"; "recurs", a new defect to be linked; or "not_decided", where the concrete
                or the place is not known well enough to say which
    distance_m  0 where outlines overlap, else between centres; None where a place is not known
    centres_m   between centres; None where a place is not known
    reason      why this relation, one sentence
    """

    ref: str | int
    relation: str
    distance_m: float | None
    centres_m: float | None
    reason: str

    def words(self, system: System) -> str:
        """The offer as asked: "Same as 104? Outlines overlap. ..."."""
        asks = {"same": "Same as", "recurs": "Does this recur from", "not_decided": "Is this"}
        if self.centres_m is None:
            where = "How far apart they lie is not known."
        elif self.distance_m == 0:
            where = "The outlines overlap or meet."
        else:
            where = f"The centers lie {show(self.centres_m, Kind.LENGTH, system)} apart."
        return f"{asks[self.relation]} {self.ref}? {where} {self.reason}"


def offers(new: Sighted, known: Sequence[Sighted]) -> tuple[Offer, ...]:
    """Known defects that `new` may be, nearest first, those of unknown place last.

    One of unknown place is offered only in the very same concrete.
    """
    found = [offer for old in known if old.kind == new.kind and (offer := _offer(new, old))]
    return tuple(sorted(found, key=_nearness))


def _nearness(offer: Offer) -> tuple[float, float, str]:
    far = math.inf
    return (
        far if offer.distance_m is None else offer.distance_m,
        far if offer.centres_m is None else offer.centres_m,
        str(offer.ref),
    )


def _offer(new: Sighted, old: Sighted) -> Offer | None:
    if not (new.outline and old.outline):
        if new.concrete is None or new.concrete != old.concrete:
            return None
        reason = "It is in the same panel, but where in it is not written down."
        return Offer(old.ref, "not_decided", None, None, reason)
    here, there = _shape(new), _shape(old)
    centres = math.dist(here.centre, there.centre)
    overlap = _overlap(here, there)
    if not overlap and centres > max(WITHIN_M[new.how], WITHIN_M[old.how]) + _HAIR_M:
        return None
    relation, reason = _relation(new, old)
    return Offer(old.ref, relation, 0.0 if overlap else centres, centres, reason)


def _relation(new: Sighted, old: Sighted) -> tuple[str, str]:
    before, after = old.concrete_placed_on, new.concrete_placed_on
    if before is not None and after is not None and before != after:
        if before < after:
            return "recurs", f"The concrete here was placed {after}, that one's {before}."
        return "not_decided", f"That one lies in newer concrete, placed {before}, not {after}."
    same_panel = new.concrete is not None and new.concrete == old.concrete
    if (before is None or after is None) and not same_panel:
        return "not_decided", "When the concrete was placed is not known: is it the same?"
    if old.state in _MENDED:
        return "recurs", "That one was repaired or closed: a new defect, linked to it."
    return "same", "Same kind and same concrete."


def _shape(sighted: Sighted) -> PlanShape:
    points = sighted.outline
    if sighted.is_area:
        # An outline drawn across itself still covers ground.
        return PlanShape(shapely.make_valid(Polygon(points)))
    if len(set(points)) == 1:
        return PlanShape(ShapelyPoint(points[0]))
    return PlanShape(LineString(points))


def _overlap(one: PlanShape, other: PlanShape) -> bool:
    """Areas that only share an edge do not overlap; a spot or line on an edge does."""
    meet = bool(one.geometry.intersects(other.geometry))
    if meet and one.kind == other.kind == ShapeKind.AREA:
        return not one.geometry.touches(other.geometry)
    return meet
