"""What a plan shows beside panels: drains, wells, run-on, fixed points, landmarks."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from registry.plan.faults import PlanError
from registry.plan.points import Point


class FeatureKind(StrEnum):
    DRAIN = "drain"
    WELL = "well"
    OVERFLOW = "overflow"
    CLEANOUT = "cleanout"
    RUN_ON = "run_on"
    FIXED_POINT = "fixed_point"
    LANDMARK = "landmark"


@dataclass(frozen=True)
class Feature:
    """One thing on the plan. points: one for a thing at a spot; for run-on from where to where.

    exists_from is its first day, exists_to the first day without it.
    """

    kind: FeatureKind
    name: str
    points: tuple[Point, ...]
    exists_from: date | None = None
    exists_to: date | None = None

    def __post_init__(self) -> None:
        if not self.points:
            raise PlanError(f"{self.name or 'A thing on the plan'} needs a place.")
        if self.kind == FeatureKind.RUN_ON and len(self.points) < 2:
            raise PlanError("A run-on arrow goes from one point to another.")

    def exists_on(self, on: date) -> bool:
        begun = self.exists_from is None or self.exists_from <= on
        return begun and (self.exists_to is None or on < self.exists_to)
