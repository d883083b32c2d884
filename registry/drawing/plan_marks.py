"""What a caller puts on a plan picture: spots, states, known defects."""

from dataclasses import dataclass
from datetime import date

from registry.drawing.hatches import HATCH_OF_STATE, Hatch
from registry.drawing.primitives import DrawingError, Symbol
from registry.plan import Layout, Panel, PlanShape, Point
from registry.units import System

STATE_WORDS = {
    "working": "working",
    "watch": "watch",
    "clean": "clean",
    "restore": "restore",
    "not_working": "not working",
    "not_decided": "not decided",
}


@dataclass(frozen=True)
class SpotMark:
    """A test spot. at: plan coordinates, metres. value: what is printed beside it where it fits."""

    name: str
    at: Point
    value: str = ""
    href: str = ""
    title: str = ""


@dataclass(frozen=True)
class StateArea:
    """A condition word over part of the plan.

    state: a key of STATE_WORDS. rings: outlines in plan metres; none where the stratum has no
    outline yet, and then it stands in the caption. where: the stratum in words.
    """

    state: str
    where: str
    rings: tuple[tuple[Point, ...], ...] = ()
    href: str = ""
    title: str = ""

    def __post_init__(self) -> None:
        if self.state not in HATCH_OF_STATE:
            raise DrawingError(f"{self.state!r} is not one of the six condition words.")

    @property
    def word(self) -> str:
        return STATE_WORDS[self.state]


@dataclass(frozen=True)
class DefectMark:
    """A known defect: its number on this picture, where it lies, its sign of the drawing key."""

    number: int
    shape: PlanShape
    sign: Symbol = Symbol.OTHER
    href: str = ""
    title: str = ""


@dataclass(frozen=True)
class PhotoMark:
    """A photo, or several of one panel that have no place of their own.

    turn_deg: the way it looks, clockwise from up on the plan; None where that is not known.
    """

    shape: PlanShape
    turn_deg: float | None
    href: str
    title: str
    count: int = 1


@dataclass(frozen=True)
class SweptArea:
    """A part of the surface that an order asks to be swept, once or twice. ring: plan metres."""

    ring: tuple[Point, ...]
    is_twice: bool = False

    @property
    def hatch(self) -> Hatch:
        return Hatch.TO_SWEEP_TWICE if self.is_twice else Hatch.TO_SWEEP

    @property
    def words(self) -> str:
        return "to sweep twice" if self.is_twice else "to sweep"


@dataclass(frozen=True)
class PlanContent:
    """Everything one picture shows. A small one shows the ground and what lies in it alone."""

    layout: Layout
    panels: tuple[Panel, ...]
    on: date
    spots: tuple[SpotMark, ...]
    states: tuple[StateArea, ...]
    defects: tuple[DefectMark, ...]
    system: System
    part: str = ""
    swept: tuple[SweptArea, ...] = ()
    is_small: bool = False
    photos: tuple[PhotoMark, ...] = ()
