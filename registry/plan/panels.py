"""Panels: named rectangles of one placement, with dates, and the corner they are measured from.

Letters run to the right from the baseline, numbers go up; no letters I and O. A panel is
measured from its home corner, the one nearest the datum (down-left): right from the left
joint, up from the lower joint.
"""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from functools import cached_property

from shapely import Point as ShapelyPoint
from shapely import Polygon, box

from registry.plan.faults import PlaceError, PlanError
from registry.plan.points import TOUCH_M, Point

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Lane letters; I and O are left out because they read as 1 and 0."""

_NAME = re.compile(r"([A-Za-z]{1,2})([0-9]{1,3})([A-Za-z]*)")


class PanelKind(StrEnum):
    FULL = "full"
    CLOSING_PIECE = "closing_piece"
    AROUND_FIXTURE = "around_fixture"


class CutAcross(StrEnum):
    """Which measure the saw line holds: R (the line runs up) or U (the line runs right)."""

    AT_RIGHT = "right"
    AT_UP = "up"


@dataclass(frozen=True, order=True)
class PanelName:
    """Letter, number and, after a saw cut, a suffix: C8, C8a, AA12."""

    letter: str
    number: int
    suffix: str = ""

    def __post_init__(self) -> None:
        if not self.letter or any(letter not in LETTERS for letter in self.letter):
            raise PlaceError(_letter_trouble(self.letter))
        if not 1 <= self.number <= 999:
            raise PlaceError(f"Panel numbers run from 1 to 999, not {self.number}.")
        if any(part.upper() not in LETTERS for part in self.suffix):
            raise PlaceError(f"{self} is not a panel name: a cut part ends in a, b and so on.")

    def __str__(self) -> str:
        return f"{self.letter}{self.number}{self.suffix}"

    @property
    def lane(self) -> int:
        """0 for A, 1 for B, ... 24 for AA."""
        return lane_of(self.letter)


def _letter_trouble(letter: str) -> str:
    if "I" in letter or "O" in letter:
        return (
            f'There is no lane "{letter}": I and O are left out because they are read as 1 and 0. '
            "Lanes go A to H, J to N, P to Z."
        )
    return f'"{letter}" is not a lane letter; lanes go A to H, J to N, P to Z.'


def letter_of(lane: int) -> str:
    """Letter of a lane counted from 0: A to Z without I and O, then AA, AB, ..."""
    if not 0 <= lane < len(LETTERS) * (len(LETTERS) + 1):
        raise PlanError(f"A plan has 1 to {len(LETTERS) * (len(LETTERS) + 1)} lanes.")
    first, last = divmod(lane, len(LETTERS))
    return (LETTERS[first - 1] if first else "") + LETTERS[last]


def lane_of(letter: str) -> int:
    """Lane counted from 0 of a letter: the inverse of `letter_of`."""
    place = 0
    for part in letter:
        place = place * len(LETTERS) + LETTERS.index(part) + 1
    return place - 1


def read_panel_name(text: str) -> PanelName:
    """Read "C8", "c8a", "AA12". Raises PlaceError in the user's words."""
    found = _NAME.fullmatch(text.strip())
    if found is None:
        raise PlaceError(f'"{text.strip()}" is not a panel name; write a letter and a number: C8.')
    letter, number, suffix = found.groups()
    return PanelName(letter.upper(), int(number), suffix.lower())


@dataclass(frozen=True)
class Panel:
    """One panel as it lay from one day to another.

    right_m, up_m: the home corner in plan coordinates. width_m (right) and length_m (up) are
    the sides, or the sides of the box around `corners` when the panel is not a rectangle.
    corners: plan coordinates in order, for closing pieces and panels around a fixture.
    turned_deg: clockwise turn of the panel's own up against the plan's, for lanes that curve.
    exists_from is the first day of the panel, exists_to the first day without it.
    placed_on: the day of its concrete; a saw cut keeps it.
    """

    letter: str
    number: int
    right_m: float
    up_m: float
    width_m: float
    length_m: float
    suffix: str = ""
    corners: tuple[Point, ...] | None = None
    exists_from: date | None = None
    exists_to: date | None = None
    placed_on: date | None = None
    kind: PanelKind = PanelKind.FULL
    turned_deg: float = 0.0
    cut_from: str = ""

    def __post_init__(self) -> None:
        name = PanelName(self.letter, self.number, self.suffix)
        numbers = (self.right_m, self.up_m, self.width_m, self.length_m, self.turned_deg)
        if not all(math.isfinite(number) for number in numbers):
            raise PlanError(f"Panel {name} needs a home corner and two sides.")
        if not (self.width_m > 0 and self.length_m > 0):
            raise PlanError(f"Panel {name} needs a width and a length above 0.")
        if self.exists_from and self.exists_to and self.exists_to <= self.exists_from:
            raise PlanError(f"Panel {name} cannot end on or before the day it begins.")
        if self.corners is not None:
            self._check_corners(name)

    def _check_corners(self, name: PanelName) -> None:
        outline = Polygon(self.corners) if len(self.corners or ()) >= 3 else Polygon()
        if not outline.is_valid or outline.area <= 0:
            raise PlanError(f"The corners of {name} do not go round it once, in order.")
        own = [self.to_panel(*corner) for corner in self.corners or ()]
        slack = 0.005  # half a centimetre: corners come from a tape
        if any(
            not (-slack <= right <= self.width_m + slack and -slack <= up <= self.length_m + slack)
            for right, up in own
        ):
            raise PlanError(f"A corner of {name} lies outside its own width and length.")

    @property
    def panel_name(self) -> PanelName:
        return PanelName(self.letter, self.number, self.suffix)

    @property
    def name(self) -> str:
        return f"{self.letter}{self.number}{self.suffix}"

    @cached_property
    def polygon(self) -> Polygon:
        """The panel in plan coordinates, metres."""
        if self.corners is not None:
            return Polygon(self.corners)
        sides = ((0, 0), (self.width_m, 0), (self.width_m, self.length_m), (0, self.length_m))
        return Polygon([self.to_plan(right, up) for right, up in sides])

    @property
    def area_m2(self) -> float:
        return float(self.polygon.area)

    @property
    def centre(self) -> Point:
        middle = self.polygon.centroid
        return (middle.x, middle.y)

    def exists_on(self, on: date) -> bool:
        begun = self.exists_from is None or self.exists_from <= on
        return begun and (self.exists_to is None or on < self.exists_to)

    def to_plan(self, right_m: float, up_m: float) -> Point:
        """Offsets from the home corner -> plan coordinates."""
        if self.turned_deg == 0:
            return (self.right_m + right_m, self.up_m + up_m)
        turn = math.radians(self.turned_deg)
        return (
            self.right_m + right_m * math.cos(turn) + up_m * math.sin(turn),
            self.up_m - right_m * math.sin(turn) + up_m * math.cos(turn),
        )

    def to_panel(self, right_m: float, up_m: float) -> Point:
        """Plan coordinates -> offsets from the home corner."""
        away_right, away_up = right_m - self.right_m, up_m - self.up_m
        if self.turned_deg == 0:
            return (away_right, away_up)
        turn = math.radians(self.turned_deg)
        return (
            away_right * math.cos(turn) - away_up * math.sin(turn),
            away_right * math.sin(turn) + away_up * math.cos(turn),
        )

    def holds(self, right_m: float, up_m: float) -> bool:
        """Whether a point of the plan lies in the panel or on its joints."""
        return bool(self.polygon.distance(ShapelyPoint(right_m, up_m)) <= TOUCH_M)


def cut_panel(panel: Panel, on: date, at_m: float, across: CutAcross) -> tuple[Panel, Panel, Panel]:
    """Saw-cut a panel: the old one ended on that day, and its parts a (home side) and b.

    at_m: where the saw line lies, right or up of the home corner, metres.
    """
    side = panel.width_m if across == CutAcross.AT_RIGHT else panel.length_m
    if not 0 < at_m < side:
        raise PlanError(f"The saw line has to lie inside {panel.name}.")
    if not panel.exists_on(on):
        raise PlanError(f"{panel.name} does not exist on {on.isoformat()}, so it cannot be cut.")
    parts = []
    for suffix, start, stop in (("a", 0.0, at_m), ("b", at_m, side)):
        begin = (start, 0.0) if across == CutAcross.AT_RIGHT else (0.0, start)
        end = (stop, panel.length_m) if across == CutAcross.AT_RIGHT else (panel.width_m, stop)
        parts.append(_part(panel, on, panel.suffix + suffix, begin, end))
    return (replace(panel, exists_to=on), parts[0], parts[1])


def _part(panel: Panel, on: date, suffix: str, begin: Point, end: Point) -> Panel:
    """The part of a panel between two corners of its own, as a panel."""
    right_m, up_m = panel.to_plan(*begin)
    corners = None
    if panel.corners is not None:
        own = Polygon([panel.to_panel(*corner) for corner in panel.corners])
        piece = own.intersection(box(*begin, *end))
        if not isinstance(piece, Polygon) or piece.is_empty:
            raise PlanError(f"The saw line does not cut {panel.name} into two whole parts.")
        corners = tuple(panel.to_plan(*corner) for corner in list(piece.exterior.coords)[:-1])
    return replace(
        panel,
        suffix=suffix,
        right_m=right_m,
        up_m=up_m,
        width_m=end[0] - begin[0],
        length_m=end[1] - begin[1],
        corners=corners,
        exists_from=on,
        exists_to=panel.exists_to,
        cut_from=panel.name,
    )


def grid(
    lanes: int,
    count: int,
    width_m: float,
    length_m: float,
    *,
    origin: Point = (0.0, 0.0),
    exists_from: date | None = None,
    placed_on: date | None = None,
) -> tuple[Panel, ...]:
    """Panels of a rectangular lot: `lanes` letters to the right, numbers 1 to `count` going up."""
    if lanes < 1 or count < 1:
        raise PlanError("A lot has at least one lane and one panel.")
    return tuple(
        Panel(
            letter_of(lane),
            number + 1,
            origin[0] + lane * width_m,
            origin[1] + number * length_m,
            width_m,
            length_m,
            exists_from=exists_from,
            placed_on=placed_on,
        )
        for lane in range(lanes)
        for number in range(count)
    )


def area_on(panels: Iterable[Panel], on: date) -> float:
    """Area of the panels there were on a day, m2."""
    return sum(panel.area_m2 for panel in panels if panel.exists_on(on))
