"""Extents of several defects added without counting any ground twice.

Where defects grew together, or one was cut in two, the one that goes on holds the whole extent;
what is part of it, or grew into it, is left out and listed.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from registry.defects.faults import CannotCompare

Ref = str | int
_ADDED = ("m2", "m", "count")


@dataclass(frozen=True)
class Extended:
    """One defect's extent as last measured.

    extent     in `unit`, SI; None where it was not measured
    part_of    ref of the defect it is part of, None if of none; grew_into likewise
    """

    ref: Ref
    extent: float | None
    unit: str
    part_of: Ref | None = None
    grew_into: Ref | None = None

    @property
    def goes_into(self) -> Ref | None:
        return self.part_of if self.part_of is not None else self.grew_into


@dataclass(frozen=True)
class Counted:
    """Sums by unit and what is not in them.

    sums        unit to sum; a unit of which nothing was measured is not in it
    counted     refs that were added
    left_out    (ref, why) of those held back, in the order given
    unmeasured  refs that belong in a sum and have no extent: each sum is then "at least"
    """

    sums: dict[str, float]
    counted: tuple[Ref, ...]
    left_out: tuple[tuple[Ref, str], ...]
    unmeasured: tuple[Ref, ...]


def count_once(defects: Sequence[Extended]) -> Counted:
    """Add extents by unit, parts left out.

    Raises CannotCompare on a defect listed twice, links that go in a ring, and bad extents.
    """
    by_ref = {defect.ref: defect for defect in defects}
    if len(by_ref) != len(defects):
        raise CannotCompare("One defect is listed twice; its extent would be counted twice.")
    for defect in defects:
        _refuse_ring(defect, by_ref)
        if defect.extent is not None and not (math.isfinite(defect.extent) and defect.extent >= 0):
            raise CannotCompare(f"The extent of defect {defect.ref} is no extent.")
    held = {defect.ref: why for defect in defects if (why := _why_left_out(defect, by_ref))}
    whole = [defect for defect in defects if defect.ref not in held]
    added = [(d.ref, d.unit, d.extent) for d in whole if d.extent is not None]
    units = dict.fromkeys(unit for _, unit, _ in added)
    return Counted(
        {unit: math.fsum(extent for _, of, extent in added if of == unit) for unit in units},
        tuple(ref for ref, _, _ in added),
        tuple(held.items()),
        tuple(defect.ref for defect in whole if defect.extent is None),
    )


def _why_left_out(defect: Extended, by_ref: dict[Ref, Extended]) -> str:
    if defect.goes_into is not None:
        link = "part of" if defect.part_of is not None else "grew into"
        missing = "" if defect.goes_into in by_ref else ", which is not in this list"
        return f"{link} {defect.goes_into}{missing}"
    return "" if defect.unit in _ADDED else "heights are not added"


def _refuse_ring(defect: Extended, by_ref: dict[Ref, Extended]) -> None:
    seen, at = {defect.ref}, defect.goes_into
    while at is not None:
        if at in seen:
            raise CannotCompare(f"Defect {defect.ref} would be part of itself; mend the links.")
        seen.add(at)
        at = by_ref[at].goes_into if at in by_ref else None
