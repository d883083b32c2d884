"""How long a load waited, and how long its concrete lay bare (N13).

Batch to discharge; discharge to cover, at the first foot and at the last: the longer counts.
Elapsed minutes by UTC, so that a change of the clocks does not count.
"""

import itertools
from dataclasses import dataclass
from datetime import datetime

from registry.instants import elapsed_seconds
from registry.placing.faults import NotGiven, PlacingError

_CONCRETE = (
    ("batched", "batched"),
    ("arrived", "arrived"),
    ("discharge_from", "began to discharge"),
    ("discharge_to", "ended to discharge"),
    ("cover_last", "last foot covered"),
)
_COVER = (
    ("discharge_from", "began to discharge"),
    ("cover_first", "first foot covered"),
    ("cover_last", "last foot covered"),
)


@dataclass(frozen=True)
class LoadTimes:
    """Aware instants of one load; None where nobody wrote it down.

    cover_first, cover_last  when its first and its last foot were covered
    Raises PlacingError where one comes before what it follows.
    """

    batched: datetime | None
    arrived: datetime | None
    discharge_from: datetime | None
    discharge_to: datetime | None
    cover_first: datetime | None
    cover_last: datetime | None

    def __post_init__(self) -> None:
        for order in (_CONCRETE, _COVER):
            named = [(words, getattr(self, name)) for name, words in order]
            _refuse_backwards([(words, at) for words, at in named if at is not None])


@dataclass(frozen=True)
class Lags:
    """Minutes, each in its place a reason where one end is missing."""

    batch_to_discharge: float | NotGiven
    to_cover_first: float | NotGiven
    to_cover_last: float | NotGiven
    longest_to_cover: float | NotGiven


def lags(times: LoadTimes) -> Lags:
    """N13 of one load. The longest is not given while an end of it is missing."""
    first = _minutes(
        times.discharge_from, times.cover_first, "discharge", "cover of the first foot"
    )
    last = _minutes(times.discharge_to, times.cover_last, "discharge", "cover of the last foot")
    wait = _minutes(times.batched, times.discharge_from, "batching", "discharge")
    return Lags(wait, first, last, _longer(first, last))


def _longer(first: float | NotGiven, last: float | NotGiven) -> float | NotGiven:
    if isinstance(first, NotGiven):
        return first
    return last if isinstance(last, NotGiven) else max(first, last)


def _minutes(
    start: datetime | None, end: datetime | None, start_words: str, end_words: str
) -> float | NotGiven:
    if start is None or end is None:
        missing = start_words if start is None else end_words
        return NotGiven(f"The time of {missing} is missing.")
    return elapsed_seconds(start, end) / 60


def _refuse_backwards(moments: list[tuple[str, datetime]]) -> None:
    for (before, start), (after, end) in itertools.pairwise(moments):
        if elapsed_seconds(start, end) < 0:
            raise PlacingError(
                f"“{after}” at {end:%H:%M} is earlier than “{before}” at {start:%H:%M}. "
                "Look at both times again."
            )
