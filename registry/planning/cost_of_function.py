"""What function cost (N24): money per area cleaned, and per area brought above the action level.

The second is not given without a test before. A part is brought up where it was below before and is
not after; a bound that straddles the level leaves it open. Common practice, no source.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from registry.measuring import is_below
from registry.planning.words import NotDecided, require


@dataclass(frozen=True)
class Part:
    """A part of the area done with its test on either side, mm/h and sign; None: no usable test."""

    name: str
    area_m2: float
    before_mm_h: float | None
    after_mm_h: float | None
    before_sign: str = ""
    after_sign: str = ""


@dataclass(frozen=True)
class CostOfFunction:
    """per_m2  of all that was cleaned; per_m2_brought  of what was brought above the action level

    brought_m2  that area, with the names of its parts; 0 and no price where none was
    """

    per_m2: float | NotDecided
    per_m2_brought: float | NotDecided
    brought_m2: float | NotDecided
    brought: tuple[str, ...] = ()


def cost_of_function(
    cost: float | None, area_m2: float | None, parts: Iterable[Part], action_mm_h: float | None
) -> CostOfFunction:
    """Return N24 of one cleaning. `cost` covers the whole visit; `area_m2` is the area done."""
    known = tuple(parts)
    brought = _brought(known, action_mm_h)
    names = () if isinstance(brought, NotDecided) else tuple(part.name for part in brought)
    area = brought if isinstance(brought, NotDecided) else sum(part.area_m2 for part in brought)
    return CostOfFunction(_per_area(cost, area_m2), _per_brought(cost, area), area, names)


def _per_area(cost: float | None, area_m2: float | None) -> float | NotDecided:
    if cost is None:
        return NotDecided("The cost is not known.", ("cost",))
    require(cost, "The cost")
    if area_m2 is None:
        return NotDecided("The area done is not known.", ("area done",))
    require(area_m2, "The area done", above=0)
    return cost / area_m2


def _per_brought(cost: float | None, brought: float | NotDecided) -> float | NotDecided:
    if isinstance(brought, NotDecided):
        return brought
    if brought == 0:
        return NotDecided("No part was brought from below to above the action level.")
    return _per_area(cost, brought)


def _brought(parts: tuple[Part, ...], action_mm_h: float | None) -> list[Part] | NotDecided:
    if action_mm_h is None:
        return NotDecided("The action level is not known.", ("action level",))
    if not any(part.before_mm_h is not None for part in parts):
        return NotDecided("No test before the cleaning.", ("test before",))
    found = []
    for part in parts:
        answer = _was_brought(part, action_mm_h)
        if answer is None:
            why = f"It is open whether “{part.name}” was brought above the action level."
            return NotDecided(why, (f"tests before and after at “{part.name}”",))
        found += [part] if answer else []
    return found


def _was_brought(part: Part, action_mm_h: float) -> bool | None:
    """Whether a part was below before and is not below after; None: open."""
    require(part.area_m2, f"The area of “{part.name}”", above=0)
    before = _below(part.before_mm_h, part.before_sign, action_mm_h)
    after = _below(part.after_mm_h, part.after_sign, action_mm_h)
    if before is False or after is True:
        return False
    return None if before is None or after is None else True


def _below(mm_h: float | None, sign: str, level: float) -> bool | None:
    return None if mm_h is None else is_below(mm_h, sign, level)
