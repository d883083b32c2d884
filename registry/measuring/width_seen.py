"""What is known of the width left behind a clogged strip (N9), as the condition word takes it."""

import math
from dataclasses import dataclass

from registry.measuring.demand import NoWidth, WidthNeeded


@dataclass(frozen=True)
class WidthSeen:
    """N9 where it could be worked out; None always means not known.

    reserve, reserve_sign  share of the whole width left over, with the sign of a bound
    is_enough              whether the width needed is still left
    is_strip_known         a clogged strip at the run-on edge is on record
    words                  what keeps it from being worked out or decides it, one sentence
    """

    reserve: float | None = None
    reserve_sign: str = ""
    is_enough: bool | None = None
    is_strip_known: bool = False
    words: str = ""

    @property
    def reserve_words(self) -> str:
        """Return the reserve in whole percent, cut and not rounded: 39.6 % is under 40 %."""
        return f"{self.reserve_sign} {math.floor(100 * (self.reserve or 0.0))} %".strip()

    def is_reserve_under(self, percent: float) -> bool | None:
        """Say whether the reserve is under a limit; None where it, or on which side, is unknown."""
        if self.reserve is None:
            return None
        under = 100 * self.reserve < percent
        if (under and self.reserve_sign == ">") or (not under and self.reserve_sign == "<"):
            return None
        return under


NO_STRIP = WidthSeen()


def width_seen(found: WidthNeeded | NoWidth | None, why: str, *, is_strip_known: bool) -> WidthSeen:
    """Return what N9 gives. A field that cannot take the rain alone leaves no width enough."""
    if isinstance(found, WidthNeeded):
        return WidthSeen(found.reserve, found.reserve_sign, found.is_enough, is_strip_known)
    if found is None:
        return WidthSeen(is_strip_known=is_strip_known, words=why)
    too_slow = found.code == "field_too_slow"
    return WidthSeen(
        is_enough=False if too_slow else None, is_strip_known=is_strip_known, words=found.reason
    )
