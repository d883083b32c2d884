"""The seasons of a cold, wet, leafy climate, and the same shifted for others.

Common practice, no source, but for wet sweeping, marked at its line.
"""

from dataclasses import replace
from datetime import timedelta

from registry.planning.methods import WASHES, Method
from registry.planning.seasons import Fact, Season, YearDay

SWEPT = frozenset(
    {Method.WALK_BEHIND, Method.REGENERATIVE_AIR, Method.VACUUM, Method.AIR_AND_VACUUM}
)
_SCRUBBED = frozenset({Method.BRUSH_AND_VACUUM, Method.JOINT_STONE, Method.MOSS_BRUSHED})
_THAW = frozenset({Fact.LAST_SAND, Fact.LAST_FROST})

COLD_WET_LEAFY: tuple[Season, ...] = (
    Season(
        "winter", YearDay(1, 1), YearDay(2, 29),
        methods_not=SWEPT | WASHES | _SCRUBBED,
        to_do="Plow with shoes, no steel on the surface, least deicer and none in the first "
        "winter; no sand, or washed stone where grip is needed.",
        not_to_do="Sweep or wash; pile snow from roads on it.",
        reason="frost and sand may still come",
        ends_at=_THAW,
    ),
    Season(
        "spring sweep", YearDay(3, 1), YearDay(4, 30),
        methods=SWEPT | {Method.BROOM},
        to_do="After the last sand and frost, before a big rain washes it in: sweep within 3 "
        "weeks, dry.",
        # Simpson, Winston and Tirpak, J. Env. Management 2021.
        not_to_do="Sweep it wet: a published trial found that regenerative air made it worse.",
        reason="the sand of the winter lies on top",
        begins_after=_THAW,
    ),
    Season(
        "late spring", YearDay(5, 1), YearDay(5, 31),
        methods=SWEPT | {Method.BROOM, Method.HAND_TOOLS},
        to_do="Tests, inspection; catkins and pollen off.",
        reason="catkins and pollen lie on top",
    ),
    Season(
        "summer", YearDay(6, 1), YearDay(9, 30),
        methods=SWEPT | WASHES | _SCRUBBED | {Method.BROOM, Method.HAND_TOOLS},
        to_do="Restorative wash and vacuum; moss brushed when dry; repairs.",
        not_to_do="Wash within 28 days of placing.",
        reason="warm and dry enough to wash",
    ),
    Season(
        "leaf fall", YearDay(10, 1), YearDay(11, 30),
        methods=frozenset({Method.BROOM, Method.HAND_TOOLS}),
        to_do="Blow leaves off weekly, dry.",
        not_to_do="Let wet leaves be driven on.",
        reason="leaves are falling",
    ),
    Season(
        "last leaf", YearDay(11, 1), YearDay(11, 30),
        methods=SWEPT,
        to_do="Full vacuum when nine tenths of the leaves are down; again at the last leaf.",
        reason="the leaves are down",
        begins_after=frozenset({Fact.LEAF_DOWN}),
    ),
    Season(
        "frost", YearDay(12, 1), YearDay(2, 29),
        methods_not=WASHES,
        to_do="Close the log, list what is open.",
        not_to_do="Wash below 40 °F (4.4 °C) or with frost within 24 h.",
        reason="water would freeze in the pores",
        begins_at=frozenset({Fact.FIRST_FROST}),
        ends_at=frozenset({Fact.LAST_FROST}),
    ),
)  # fmt: skip


def shifted(calendar: tuple[Season, ...], days: int) -> tuple[Season, ...]:
    """Return a calendar moved by so many days, for a climate that is earlier, later or southern.

    Months are counted in a year of 365 days; the last of February moves as the 28th.
    """
    return tuple(
        replace(s, begins=_moved(s.begins, days), ends=_moved(s.ends, days)) for s in calendar
    )


def _moved(day: YearDay, days: int) -> YearDay:
    later = day.in_year(2001) + timedelta(days=days % 365)
    return YearDay(later.month, later.day)
