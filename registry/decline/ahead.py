"""Chances of lying below the action level on days ahead, with cleanings that are planned.

symbol  meaning                                                       unit
t       time after the day of the outlook                             years
V(t)    effective age: grows a year a year, times 1 - r at a cleaning  years
p       P(a - k V(t) < ln action | k >= 0)                            1

A cleaning on the very day that is asked for counts as done.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from registry.decline.faults import DeclineError
from registry.decline.outlook import Outlooks, chance_at
from registry.decline.records import Floats, Ints


@dataclass(frozen=True, eq=False)
class PlannedCleaning:
    """A cleaning ahead: after so many years, the share of clogging it takes, and where."""

    after_yr: float
    recovery: float
    places: Ints

    def __post_init__(self) -> None:
        if not (np.isfinite(self.after_yr) and self.after_yr >= 0):
            raise DeclineError("A planned cleaning lies on the day of the outlook or after it.")
        if not 0 <= self.recovery < 1:
            raise DeclineError("A recovery lies from 0 to under 1.")


def ages_ahead(age: Floats, ahead_yr: Floats, planned: Sequence[PlannedCleaning]) -> Floats:
    """Effective ages (n, m) of n places with ages (n,) today, at m times ahead, years."""
    level = np.array(age, float)  # V(t) = level + t until the next cleaning
    found = level[:, None] + ahead_yr[None, :]
    for cleaning in sorted(planned, key=lambda one: one.after_yr):
        at, rows = cleaning.after_yr, cleaning.places
        level[rows] = (1 - cleaning.recovery) * (level[rows] + at) - at
        later = np.flatnonzero(ahead_yr >= at)
        found[np.ix_(rows, later)] = level[rows][:, None] + ahead_yr[None, later]
    return found


def chances_ahead(
    outlooks: Outlooks, ahead_yr: Floats, planned: Sequence[PlannedCleaning] = ()
) -> Floats:
    """Chance below the action level of every place, (n, m); nan where it is not decided."""
    ages = ages_ahead(outlooks.places.age, ahead_yr, planned)
    rows = np.repeat(np.arange(len(ages)), len(ahead_yr))
    joint, action = outlooks.places.joint.take(rows), outlooks.places.ln_action[rows]
    return chance_at(joint, ages.ravel(), action).reshape(ages.shape)
