"""The order in which pavements are swept (N26), each with the reason of its rank.

By (1) below the action level, (2) months to it, (3) reserve of width N9, (4) run-on area served;
ties by travel. What missed its window before frost goes ahead of its rank. What is not known stands
behind what is known in the same key, and is named; only a pavement of which it is not known whether
it is below stands before those known to be above. Common practice, no source.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Candidate:
    """One pavement; None is not known.

    months_left   to the action level; inf for no decline shown or more than 10 years
    reserve       share of the width, N9;  run_on_m2  run-on area served
    travel_minutes  from where the crew comes
    """

    ref: str
    is_below: bool | None
    months_left: float | None = None
    reserve: float | None = None
    run_on_m2: float | None = None
    travel_minutes: float | None = None
    missed_window_before_frost: bool = False


@dataclass(frozen=True)
class Ranked:
    """rank from 1; reason in one line; not_known what could not be weighed.

    The reason names the keys without a unit; the run-on area is said by who shows it, in the units
    of its reader (`gathering/due_list.need_of`).
    """

    rank: int
    ref: str
    reason: str
    not_known: tuple[str, ...]


def sweep_order(candidates: Iterable[Candidate]) -> tuple[Ranked, ...]:
    """Return all candidates in their order; the same whatever order they come in."""
    ordered = sorted(candidates, key=_key)
    return tuple(
        Ranked(n, c.ref, _reason(c), _not_known(c)) for n, c in enumerate(ordered, start=1)
    )


_BELOW_FIRST = {True: 0, None: 1, False: 2}


def _key(c: Candidate) -> tuple[object, ...]:
    return (
        not c.missed_window_before_frost,
        _BELOW_FIRST[c.is_below],
        _known_first(c.months_left),
        _known_first(c.reserve),
        _known_first(None if c.run_on_m2 is None else -c.run_on_m2),
        _known_first(c.travel_minutes),
        c.ref,
    )


def _known_first(value: float | None) -> tuple[bool, float]:
    return value is None, 0.0 if value is None else value


def _reason(c: Candidate) -> str:
    words = ["missed its window before frost"] if c.missed_window_before_frost else []
    words.append(
        {True: "below the action level", False: "above the action level", None: "not decided"}[
            c.is_below
        ]
    )
    if c.months_left is not None and c.is_below is not True:
        words.append(_when_below(c.months_left))
    if c.reserve is not None:
        words.append(f"reserve {100 * c.reserve:.0f} %")
    return ", ".join(words)


def _when_below(months: float) -> str:
    if not math.isfinite(months):
        return "no date in sight on which it may be below"
    if months < 1:
        return "may be below within a month"
    return f"may be below in {months:.0f} month{'s'[: round(months) != 1]}"


def _not_known(c: Candidate) -> tuple[str, ...]:
    asked = {
        "whether it is below the action level": c.is_below,
        "months to the action level": c.months_left if c.is_below is not True else 0.0,
        "reserve of width": c.reserve,
        "run-on area served": c.run_on_m2,
    }
    return tuple(name for name, value in asked.items() if value is None)
