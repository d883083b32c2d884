"""What a pavement's water did, as people saw it: standing on top, and in the wells after rain.

t  hours from the end of rain to an empty observation well (N29). A reading with water at t1 says
   that it took longer; a dry one at t2 that it took no longer. Between the two nobody knows.

Water that is gone within 10 minutes after the rain is no ponding (common practice, no source).

A storm is below the design storm where less fell and, on average, it fell no harder than the
surface was designed for. A short hard rain of less depth may still be the harder one: not decided
(common practice, no source).
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


@dataclass(frozen=True)
class Storm:
    """Rain that fell, or that was designed for; None where nobody wrote it.

    mm_h  designed rate at the surface, where it is written apart from depth and hours
    """

    mm: float | None = None
    hours: float | None = None
    mm_h: float | None = None

    @property
    def hardest_mm_h(self) -> float | None:
        """The rate that stands for it: the greater of the written one and the mean."""
        mean = self.mm / self.hours if self.mm is not None and self.hours else None
        return max((rate for rate in (mean, self.mm_h) if rate is not None), default=None)


def is_below_design(rain: Storm, design: Storm) -> bool | None:
    """Say whether a rain was below the design storm; None where that cannot be told."""
    if rain.mm is None or design.mm is None:
        return None
    if rain.mm >= design.mm:
        return False
    fell, designed = rain.hardest_mm_h, design.hardest_mm_h
    if fell is None or designed is None or fell > designed:
        return None
    return True


def why_not_told(rain: Storm, design: Storm) -> str:
    """Say why it is not known whether a rain was below the design storm."""
    if rain.mm is None:
        return "how much rain fell is not written"
    if design.mm is None:
        return "no design storm is written in the criteria of that day"
    if rain.hours is None:
        return "how long it rained is not written"
    if design.hardest_mm_h is None:
        return "how many hours the design storm takes is not written in the criteria of that day"
    return "less fell than in the design storm, but faster"


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
