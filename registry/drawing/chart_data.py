"""What a rate chart shows: readings by spot, cleanings, dated action levels, a decline."""

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from registry.drawing.primitives import DrawingError


class RateKind(StrEnum):
    """MEASURED: drained. BELOW: stopped, the rate is less. ABOVE: too fast, the rate is more."""

    MEASURED = "measured"
    BELOW = "below"
    ABOVE = "above"


@dataclass(frozen=True)
class RatePoint:
    """One infiltration test. rate_mm_h: the rate, or the bound it lies below or above.

    looked_at: kept, but not used for the trend; drawn hollow. title: read out and shown on
    hover; made from the numbers when empty.
    """

    on: date
    rate_mm_h: float
    kind: RateKind = RateKind.MEASURED
    looked_at: bool = False
    href: str = ""
    title: str = ""

    def __post_init__(self) -> None:
        _above_zero(self.rate_mm_h, f"The rate on {self.on.isoformat()}")


@dataclass(frozen=True)
class RateSeries:
    """The tests of one spot."""

    name: str
    points: tuple[RatePoint, ...]


@dataclass(frozen=True)
class CleaningMark:
    """A cleaning: a mark in time with its word. restores: trends do not run across it."""

    on: date
    word: str
    restores: bool = False
    href: str = ""
    title: str = ""


@dataclass(frozen=True)
class ActionLevel:
    """A dated action level: from its first day to the first day without it; None is open."""

    rate_mm_h: float
    from_on: date | None = None
    to_on: date | None = None
    source: str = ""

    def __post_init__(self) -> None:
        _above_zero(self.rate_mm_h, "An action level")
        if self.from_on and self.to_on and self.to_on <= self.from_on:
            raise DrawingError("An action level cannot end on or before the day it begins.")


@dataclass(frozen=True)
class DeclineBand:
    """A fitted curve with its 80 % band: day by day middle, low and high rate, mm/h."""

    days: tuple[date, ...]
    middle_mm_h: tuple[float, ...]
    low_mm_h: tuple[float, ...]
    high_mm_h: tuple[float, ...]
    name: str = "fitted decline, 80 % band"

    def __post_init__(self) -> None:
        lengths = {len(self.days), len(self.middle_mm_h), len(self.low_mm_h), len(self.high_mm_h)}
        if len(lengths) != 1 or len(self.days) < 2:
            raise DrawingError("A decline has the same days for its middle, low and high.")
        for low, middle, high in zip(self.low_mm_h, self.middle_mm_h, self.high_mm_h, strict=True):
            if not 0 < low <= middle <= high < math.inf:
                raise DrawingError("A decline's band goes round its middle, above 0.")


@dataclass(frozen=True)
class SpotLine:
    """The curve of one spot, drawn thin."""

    name: str
    days: tuple[date, ...]
    rate_mm_h: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.days) != len(self.rate_mm_h) or len(self.days) < 2:
            raise DrawingError(f"The curve of {self.name} needs a rate for each of its days.")
        for rate in self.rate_mm_h:
            _above_zero(rate, f"The curve of {self.name}")


@dataclass(frozen=True)
class Future:
    """What the decline says beyond today: spot curves and the day the action level is met.

    after: the whole surface as if cleaned today, named by how. crossing_words: written beside the
    ring, with the day where left blank; crossing_means: of the ring, in the legend.
    """

    spot_lines: tuple[SpotLine, ...] = ()
    after: SpotLine | None = None
    crossing_on: date | None = None
    crossing_words: str = ""
    crossing_means: str = ""


def _above_zero(rate_mm_h: float, what: str) -> None:
    if not 0 < rate_mm_h < math.inf:
        raise DrawingError(f"{what} has to be above 0 to stand on a log scale.")
