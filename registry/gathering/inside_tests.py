"""The infiltration tests in a place where water stands: what was measured where the eye looked.

Of many spots only the panel is known. A test in a panel that the place reaches is shown as that,
never as one inside it.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from registry.gathering.plan_defects import shape_of
from registry.gathering.shared_defects import polygon_of
from registry.gathering.spot_days import rate_of
from registry.models import Defect, InfiltrationTest, Spot
from registry.plan.shared_out import JOINT_M

STRIPS = frozenset({"clogged", "sealed_spot", "ponding", "stain"})
"""Kinds whose tests inside them tell how much water still goes through."""


@dataclass(frozen=True)
class TestInside:
    """A test in the place of a defect. `mm_h` None where it gave no rate.

    panel  name of the panel where only that is known of its spot; "" where it lies in the outline
    """

    __test__ = False

    test: InfiltrationTest
    mm_h: float | None
    sign: str
    panel: str = ""


@dataclass(frozen=True)
class TestsInside:
    """What was found, newest first. `is_placed` False: the place is known in words alone."""

    __test__ = False

    found: tuple[TestInside, ...] = ()
    is_placed: bool = True


def look_inside(defect: Defect, tests: Iterable[InfiltrationTest]) -> TestsInside | None:
    """Return the tests in a clogged or sealed place; None for kinds of which that tells nothing.

    The panel is fetched with the defect; spots and their panels with the tests. Tests of another
    pour of concrete are left out: what stood there before it was replaced tells nothing of it.
    """
    if defect.kind not in STRIPS:
        return None
    ground = _ground(defect)
    if ground is None:
        return TestsInside(is_placed=False)
    found = []
    for test in tests:
        panel = _where(defect, ground, test.spot)
        if panel is not None:
            rate = rate_of(test)
            sign = rate.sign if rate else ""
            found.append(TestInside(test, rate.mm_h if rate else None, sign, panel))
    newest = sorted(found, key=lambda f: (f.test.started_on, f.test.pk), reverse=True)
    return TestsInside(tuple(newest))


def _ground(defect: Defect) -> BaseGeometry | None:
    """Return the outline, else the panel; None where the place is known in words alone."""
    if defect.outline:
        return shape_of(defect.outline_kind, defect.outline).geometry
    return polygon_of(defect.panel) if defect.panel is not None else None


def _where(defect: Defect, ground: BaseGeometry, spot: Spot) -> str | None:
    """Return "" for a spot in the outline, the panel's name where only that is known, else None."""
    days = {defect.concrete_placed_on, spot.concrete_placed_on} - {None}
    if len(days) > 1:
        return None
    if spot.right_m is not None and spot.up_m is not None:
        inside = bool(ground.covers(shapely.Point(spot.right_m, spot.up_m)))
        named = defect.panel.name if defect.panel is not None and not defect.outline else ""
        return named if inside else None
    if spot.panel is None:
        return None
    # An area that only reaches the joint lies in its own panel; a spot or line on it in both.
    panel = polygon_of(spot.panel).buffer(-JOINT_M if ground.area else JOINT_M)
    return spot.panel.name if panel.intersects(ground) else None
