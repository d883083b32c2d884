"""Effective age: how many years of clogging are in a surface (Kijima's second virtual age).

symbol  meaning                                                            unit
V       effective age: 0 at placing, grows one year per year               years
r_m     share of the clogging so far that method m takes away, in (0, 1)   1
V+      just after a cleaning by m: (1 - r_m) V-                           years

Source: M. Kijima, J. Appl. Prob. 26, 1989, 89-102 (from memory); "arithmetic reduction of age,
infinite memory" in later papers.

The lists of cleanings are walked together, first cleanings first, so that there is one step for
each cleaning of the longest list and none for each list.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np

from registry.decline.portfolio import CleaningLists
from registry.decline.records import METHODS, Column, Floats, Ints


@dataclass(frozen=True, eq=False)
class AgeTable:
    """All cleanings, step by step: step j holds the j-th cleaning of every list that has one.

    Lists come longest first, so the lists of a step are the first ones of the step before.
    step   (J + 1,) where each step starts in the columns below
    gap    (C,) years since the cleaning before      method  (C,) row of METHODS
    place  (H,) place of each list among lists, longest first
    """

    step: Ints
    gap: Floats
    method: Column
    place: Ints

    @classmethod
    def of(cls, lists: CleaningLists) -> Self:
        length = np.diff(lists.first)
        longest_first = np.argsort(-length, kind="stable")
        place = np.empty(len(length), np.int64)
        place[longest_first] = np.arange(len(length))
        owner = np.repeat(np.arange(len(length)), length)
        step_of = np.arange(len(owner)) - lists.first[owner]
        order = np.lexsort((place[owner], step_of))
        step = np.concatenate(([0], np.cumsum(np.bincount(step_of))))
        return cls(step.astype(np.int64), lists.gap[order], lists.method[order], place)

    def slot(self, lists: Ints, passed: Ints) -> Ints:
        """Which cleaning came last, (n,) for a list and a number of cleanings passed; -1 none."""
        found = self.step[np.maximum(passed - 1, 0)] + self.place[lists] if len(passed) else lists
        return np.where(passed > 0, found, -1)


@dataclass(frozen=True, eq=False)
class Walk:
    """Effective ages just before and just after each cleaning, (C,) years; `after` ends in a 0.

    The last 0 is the age that counts where no cleaning came before: slot -1.
    """

    before: Floats
    after: Floats


def walk_ages(table: AgeTable, recovery: Floats) -> Walk:
    """Ages around every cleaning, for the recoveries of METHODS, (4,)."""
    kept = (1.0 - recovery)[table.method]
    before = np.empty(len(kept))
    after = np.zeros(len(kept) + 1)
    previous = np.zeros(len(table.place))
    for low, high in zip(table.step[:-1], table.step[1:], strict=True):
        before[low:high] = previous[: high - low] + table.gap[low:high]
        after[low:high] = kept[low:high] * before[low:high]
        previous = after[low:high]
    return Walk(before, after)


def recovery_slope(table: AgeTable, recovery: Floats, walk: Walk, weight: Floats) -> Floats:
    """The slope in each recovery, (4,), of sum(weight * walk.after), weights (C,).

    Walks the lists backwards once: an age after a cleaning enters all later ones of its list.
    """
    kept = (1.0 - recovery)[table.method]
    carried = np.array(weight, dtype=float)
    steps = list(zip(table.step[:-1], table.step[1:], strict=True))
    for (low, _), (after_low, after_high) in zip(steps[-2::-1], steps[:0:-1], strict=True):
        later = carried[after_low:after_high] * kept[after_low:after_high]
        carried[low : low + len(later)] += later
    weighted = carried * walk.before
    return np.asarray(-np.bincount(table.method, weights=weighted, minlength=len(METHODS)), float)
