"""What is said of a run to a reader who does not see the entries that a doubt rests on.

Some doubts compare a run with other tests, or with cleanings, of its spot; from the ratio and the
run's own rate the other's rate follows. Who sees only part of the record is told that something
there speaks about this run, and no more.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from registry.measuring.doubts import Doubt

ON_OTHERS = frozenset(
    {
        "ratio_kg_lb",
        "ratio_mm_min_in_h",
        "ratio_m2_ft2",
        "ratio_mm_in",
        "under_24_h",
        "24_h_not_shown",
        "too_near",
        "third_run",
        "runs_differ",
        "second_run_late",
        "second_run_time_unknown",
        "above_as_built",
        "rise_without_cleaning",
        "cleaning_order_unknown",
        "washed_within_48h",
    }
)
"""Codes of the doubts that rest on other entries than the run itself."""
VEILED = "veiled"
MESSAGE = "Other entries at this place, which your seat does not show, speak about this run."
MEND = "Ask whoever keeps the record of this pavement."


def veil_doubts(doubts: Sequence[Doubt]) -> tuple[Doubt, ...]:
    """Return the doubts, each that rests on other entries without what it tells of them."""
    return tuple(
        replace(doubt, code=VEILED, message=MESSAGE, mend=MEND)
        if doubt.code in ON_OTHERS
        else doubt
        for doubt in doubts
    )


def veil_stored(doubts: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return stored doubts without what they tell of other entries, and that once."""
    rest = [dict(doubt) for doubt in doubts if doubt["code"] not in ON_OTHERS]
    on_others = [doubt for doubt in doubts if doubt["code"] in ON_OTHERS]
    if not on_others:
        return rest
    blocks = {
        name: any(doubt.get(name) for doubt in on_others)
        for name in ("blocks_trend", "blocks_acceptance")
    }
    return [*rest, {"code": VEILED, "message": MESSAGE, "mend": MEND, **blocks}]


def veil_reason(reason: str, doubts: Sequence[Mapping[str, Any]]) -> str:
    """Return why a run is used as it is, without the messages of doubts on other entries.

    A reason is made of messages and may have been cut short within one.
    """
    for doubt in doubts:
        message = str(doubt["message"])
        if doubt["code"] not in ON_OTHERS:
            continue
        reason = reason.replace(message, MESSAGE)
        cut = next((n for n in range(len(message) - 1, 0, -1) if reason.endswith(message[:n])), 0)
        if cut > 8:
            reason = reason[:-cut] + MESSAGE
    while f"{MESSAGE} {MESSAGE}" in reason:
        reason = reason.replace(f"{MESSAGE} {MESSAGE}", MESSAGE)
    return reason
