"""What a test may be used for: trend, bound, looked at only, not computed, void.

Its use can be changed only by a person, with a reason; this is where it starts.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from registry.measuring.doubts import Doubt
from registry.measuring.reading import NoRate, Rate, RingReading


class UseKind(StrEnum):
    TREND = "trend"
    BOUND = "bound"
    LOOKED_AT = "looked_at"
    NOT_COMPUTED = "not_computed"
    VOID = "void"


OF_A_TREND_ALONE = frozenset({"third_run", "washed_within_48h"})
"""What keeps a run out of the trend of its spot, and not out of the decline of all pavements.

That one takes the first two drained runs of a day by its own count, and tests soon after a wash.
"""


@dataclass(frozen=True)
class Use:
    """code is that of a doubt or of the missing reading, "" where nothing keeps it out.

    Of several doubts the first; one of a trend alone only where there is no other.
    """

    kind: UseKind
    code: str = ""
    reason: str = ""


def decide_use(reading: RingReading, result: Rate | NoRate, doubts: Sequence[Doubt]) -> Use:
    """The use a run starts with.

    No ring test: looked at only. Spoiled: void. A reading missing: not computed. A doubt that
    blocks the trend: looked at only, with every such reason. Else a bound, or trend.
    """
    if isinstance(result, NoRate):
        kinds = {"not_to_standard": UseKind.LOOKED_AT, "spoiled": UseKind.VOID}
        return Use(kinds.get(result.code, UseKind.NOT_COMPUTED), result.code, result.reason)
    blocking = [doubt for doubt in doubts if doubt.blocks_trend]
    if blocking:
        reason = " ".join(doubt.message for doubt in blocking)
        weightier = [doubt for doubt in blocking if doubt.code not in OF_A_TREND_ALONE]
        return Use(UseKind.LOOKED_AT, (weightier or blocking)[0].code, reason)
    return Use(UseKind.BOUND if result.is_bound else UseKind.TREND)


def may_accept(result: Rate | NoRate, doubts: Sequence[Doubt]) -> tuple[bool, str]:
    """Whether a run may stand in an acceptance, and if not, why."""
    if isinstance(result, NoRate):
        return False, result.reason
    reasons = [doubt.message for doubt in doubts if doubt.blocks_acceptance]
    return not reasons, " ".join(reasons)
