"""Places as crews say them: in a panel, at a joint, at a station, in a square.

All measures are metres inside; `reading.py` and `writing.py` turn them into text and back.
A measure across or along is a `Span`: a point has start = stop.
"""

from dataclasses import dataclass
from enum import StrEnum

from registry.plan.faults import PlaceError
from registry.plan.panels import PanelName


@dataclass(frozen=True, order=True)
class Span:
    """From-to of one measure, metres, start <= stop."""

    start_m: float
    stop_m: float

    def __post_init__(self) -> None:
        if self.stop_m < self.start_m:
            raise PlaceError("Write the smaller measure first: 2-9, not 9-2.")

    @property
    def is_point(self) -> bool:
        return self.start_m == self.stop_m


def at(value_m: float) -> Span:
    """A single measure as a span."""
    return Span(value_m, value_m)


class Extent(StrEnum):
    """How far a place in a panel is pinned down."""

    SOMEWHERE = "somewhere"  # only the panel is known: "D6"
    WHOLE = "whole"  # all of it: "C4 whole"
    MEASURED = "measured"


@dataclass(frozen=True)
class PanelPlace:
    """A point, a strip or an area in one panel, from its home corner: `C8 · 3.2 R · 8.5 U`.

    `right` or `up` alone is a strip over the whole panel the other way.
    """

    panel: PanelName
    right: Span | None = None
    up: Span | None = None
    extent: Extent = Extent.MEASURED

    def __post_init__(self) -> None:
        measured = self.right is not None or self.up is not None
        if measured != (self.extent == Extent.MEASURED):
            raise PlaceError(f"Say where in {self.panel}: R and U, or whole.")
        for span in (self.right, self.up):
            if span is not None and span.start_m < 0:
                raise PlaceError(
                    f"Measures in {self.panel} are right and up from its home corner, not below 0."
                )


@dataclass(frozen=True)
class PanelLine:
    """A line of points in one panel: `A3, from R 0 U 5.8 to R 11.5 U 6.1`. Points are (R, U) m."""

    panel: PanelName
    points: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise PlaceError(f"A line in {self.panel} goes from one point to another.")
        if any(measure < 0 for point in self.points for measure in point):
            raise PlaceError(
                f"Measures in {self.panel} are right and up from its home corner, not below 0."
            )


class JointMeasure(StrEnum):
    RIGHT = "R"
    UP = "U"


@dataclass(frozen=True)
class JointPlace:
    """Along the joint between two panels, from the home corner of the first: `C8|B8 U 1.0-10.0`.

    `along` None is the whole joint. A joint that runs up is measured U, one that runs right R.
    """

    first: PanelName
    second: PanelName
    measure: JointMeasure | None = None
    along: Span | None = None

    def __post_init__(self) -> None:
        if self.first == self.second:
            raise PlaceError("A joint lies between two panels.")
        if (self.measure is None) != (self.along is None):
            raise PlaceError("Say how far along the joint, R or U.")
        if self.along is not None and self.along.start_m < 0:
            raise PlaceError("Measures along a joint begin at the home corner, not below 0.")


@dataclass(frozen=True)
class PanelRunPlace:
    """A block of panels from one to another, all or a strip of each: `A1-A5, R 11.0-12.0`."""

    first: PanelName
    last: PanelName
    right: Span | None = None
    up: Span | None = None

    def __post_init__(self) -> None:
        backwards = self.last.lane < self.first.lane or self.last.number < self.first.number
        if self.first == self.last or backwards:
            raise PlaceError("A row of panels goes from the home side: A1-A5, not A5-A1.")


@dataclass(frozen=True)
class StationPlace:
    """A point, line or area by station and offset: `1+42.5 L 3.0`. Right positive, left negative.

    station and offset are spans; offset None is the whole width of the path. `line` True
    means from (start, start) to (stop, stop_offset_m) instead of an area.
    """

    station: Span
    offset: Span | None = None
    line_to_m: float | None = None

    def __post_init__(self) -> None:
        if self.station.start_m < 0:
            raise PlaceError("Stations begin at the datum with 0+00.")
        if self.line_to_m is not None and (self.offset is None or not self.offset.is_point):
            raise PlaceError("A line goes from one offset to another.")


@dataclass(frozen=True)
class SquarePlace:
    """A square, a block of squares or a place in a square: `g(2,1)`, `g(2,1)-g(2,6)`.

    `in_square` is (R, U) as spans from the square's home corner, metres.
    """

    right: int
    up: int
    to_right: int | None = None
    to_up: int | None = None
    in_square: tuple[Span, Span] | None = None

    def __post_init__(self) -> None:
        if (self.to_right is None) != (self.to_up is None):
            raise PlaceError("A block of squares needs both ends: g(2,1)-g(2,6).")
        if self.right < 1 or self.up < 1:
            raise PlaceError("Squares are counted from g(1,1) at the datum.")
        if self.to_right is not None and self.to_up is not None:
            if self.to_right < self.right or self.to_up < self.up:
                raise PlaceError("A block of squares goes from the datum outward: g(2,1)-g(2,6).")
            if self.in_square is not None:
                raise PlaceError("Measures R and U belong to one square, not to a block.")


Place = PanelPlace | PanelLine | JointPlace | PanelRunPlace | StationPlace | SquarePlace
