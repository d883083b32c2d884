"""The few things every drawing is made of; `svg.py` and `pdf.py` draw the same list.

Lengths are millimetres on the paper, x to the right and y down from the upper left corner.
Callers name roles, never colours: pages give the roles their colours, paper is black on white.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from registry.faults import DomainError

Point = tuple[float, float]


class DrawingError(DomainError):
    """Something cannot be drawn; the message says what."""


class Role(StrEnum):
    """What a line or a fill means. PAPER is the ground itself, for hollow marks."""

    INK = "ink"
    WATER = "water"
    SIGNAL = "signal"
    PALE = "pale"
    PAPER = "paper"


class Weight(StrEnum):
    HAIR = "hair"
    THIN = "thin"
    THICK = "thick"


WEIGHT_MM = {Weight.HAIR: 0.15, Weight.THIN: 0.25, Weight.THICK: 0.7}


class Anchor(StrEnum):
    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True)
class Line:
    start: Point
    end: Point
    role: Role = Role.INK
    weight: Weight = Weight.THIN
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class Polyline:
    points: tuple[Point, ...]
    role: Role = Role.INK
    weight: Weight = Weight.THIN
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True)
class Strokes:
    """Many short polylines of one look: a hatch."""

    lines: tuple[tuple[Point, ...], ...]
    role: Role = Role.INK
    weight: Weight = Weight.HAIR


@dataclass(frozen=True)
class Area:
    """A polygon. `faint` thins the fill to a tint on a page; on paper a faint fill is left out."""

    points: tuple[Point, ...]
    fill: Role | None = None
    edge: Role | None = Role.INK
    weight: Weight = Weight.THIN
    dash_mm: tuple[float, ...] = ()
    faint: bool = False


@dataclass(frozen=True)
class Circle:
    centre: Point
    radius_mm: float
    fill: Role | None = None
    edge: Role | None = Role.INK
    weight: Weight = Weight.THIN


@dataclass(frozen=True)
class Text:
    """One line of text; (x, y) is the foot of its letters. turn_deg is clockwise."""

    at: Point
    text: str
    size_pt: float = 9.0
    anchor: Anchor = Anchor.START
    bold: bool = False
    turn_deg: float = 0.0
    role: Role = Role.INK


class Symbol(StrEnum):
    """Marks of plans and charts; `symbols.py` has their lines."""

    DATUM = "datum"
    SPOT = "spot"
    ARROW = "arrow"
    DRAIN = "drain"
    WELL = "well"
    OVERFLOW = "overflow"
    CLEANOUT = "cleanout"
    LANDMARK = "landmark"
    DISC = "disc"
    SQUARE = "square"
    TRIANGLE = "triangle"
    DIAMOND = "diamond"
    HEXAGON = "hexagon"
    STAR = "star"
    BELOW = "below"
    ABOVE = "above"
    BROOM = "broom"
    RAVELING = "raveling"
    CRACK = "crack"
    SEALED = "sealed"
    CLOGGED = "clogged"
    SCRAPE = "scrape"
    LIP = "lip"
    DIP = "dip"
    STAIN = "stain"
    PONDING = "ponding"
    PHOTO = "photo"
    OTHER = "other"


@dataclass(frozen=True)
class Mark:
    """A symbol centred on a point. turn_deg is clockwise; `hollow` leaves its inside white."""

    at: Point
    symbol: Symbol
    size_mm: float = 3.0
    role: Role = Role.INK
    hollow: bool = False
    turn_deg: float = 0.0


@dataclass(frozen=True)
class Group:
    """Items that belong together. On a page `href` makes them a link and `title` its name.

    reach_mm: radius around `at` that answers to a finger on a page; not drawn.
    """

    items: "tuple[Item, ...]"
    href: str = ""
    title: str = ""
    at: Point | None = None
    reach_mm: float = 0.0

    def __post_init__(self) -> None:
        # A script address would run in the reader's browser.
        own = self.href.startswith(("/", "#", "?", "https://")) and self.href[:2] != "//"
        if self.href and not own:
            raise DrawingError(f"{self.href!r} is not an address on these pages.")
        if self.href and not self.title:
            raise DrawingError("A link in a drawing needs a title, or nobody hears what it is.")


Item = Line | Polyline | Strokes | Area | Circle | Text | Mark | Group


@dataclass(frozen=True)
class Drawing:
    """A whole picture. title and desc are read out in the place of the picture."""

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    title: str
    desc: str = ""

    def __post_init__(self) -> None:
        if not (self.width_mm > 0 and self.height_mm > 0):
            raise DrawingError("A drawing needs a width and a height above 0.")
        if not self.title.strip():
            raise DrawingError("A drawing needs a title for those who do not see it.")

    @property
    def has_links(self) -> bool:
        return any(isinstance(item, Group) and item.href for item in every_item(self.items))

    @property
    def texts(self) -> tuple[str, ...]:
        """Every text drawn, in order."""
        return tuple(item.text for item in every_item(self.items) if isinstance(item, Text))


def every_item(items: Iterable[Item]) -> Iterator[Item]:
    """All items, those inside groups too."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from every_item(item.items)
