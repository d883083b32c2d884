"""What a pavement's water did, as people saw it: standing on top, and in the wells after rain.

t  hours from the end of rain to an empty observation well (N29). A reading with water at t1 says
   that it took longer; a dry one at t2 that it took no longer. Between the two nobody knows.

Water that is gone within 10 minutes after the rain is no ponding (common practice, no source).
"""

from collections.abc import Iterable
from dataclasses import dataclass

PONDING_MINUTES = 10.0


@dataclass(frozen=True)
class WellSeen:
    """One reading of a well, hours after the rain ended; `is_dry` or water stood in it."""

    well: str
    hours: float
    is_dry: bool


@dataclass(frozen=True)
class DrawdownSeen:
    """Bounds of the drawdown at the slowest well, hours; None where no reading gives one.

    longer_than_h  water still stood then, in `well`
    at_most_h      every well that was read was dry by then
    """

    longer_than_h: float | None = None
    at_most_h: float | None = None
    well: str = ""


def is_ponding(stands: bool | None, minutes: float | None) -> bool | None:
    """Say whether water that stood was ponding; None where nobody looked.

    minutes  after the end of rain, None where nobody wrote it: it then counts
    """
    if not stands:
        return stands
    return minutes is None or minutes > PONDING_MINUTES


def drawdown_seen(readings: Iterable[WellSeen]) -> DrawdownSeen:
    """Return the bounds that the readings after one rain give; those before its end say nothing."""
    after = [reading for reading in readings if reading.hours >= 0]
    wet = [reading for reading in after if not reading.is_dry]
    slowest = max(wet, key=lambda reading: reading.hours, default=None)
    empty = [_emptied(after, well) for well in {reading.well for reading in after}]
    known = [hours for hours in empty if hours is not None]
    return DrawdownSeen(
        longer_than_h=slowest.hours if slowest else None,
        at_most_h=max(known) if known and len(known) == len(empty) else None,
        well=slowest.well if slowest else "",
    )


def _emptied(readings: Iterable[WellSeen], well: str) -> float | None:
    """The first dry reading of a well after its last one with water; None where there is none."""
    mine = [reading for reading in readings if reading.well == well]
    wet = max((r.hours for r in mine if not r.is_dry), default=-1.0)
    return min((r.hours for r in mine if r.is_dry and r.hours > wet), default=None)
