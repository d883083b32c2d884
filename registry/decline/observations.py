"""Which runs are observations: one for each spot and day.

A day's observation is one drained run, or the mean of the rates of its first two drained runs
(ASTM C1701/C1701M, from memory). If the first run of the day was a bound (stopped with water
standing, or too fast to hold a head), the bound is the observation. Left out, each with a reason:
what the record leaves out, runs before the placing date, and a spot tested under 24 hours earlier
on another day, since water poured yesterday is still in the pores. Water poured for a run that is
itself left out counts for that, unless the run is void.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.records import Bools, Column, Exclusion, Floats, Ints, Runs

DAY_SECONDS = 86_400
DRAINED = 0


@dataclass(frozen=True, eq=False)
class Observations:
    """Sorted by spot, then time. sign: 0 a number, -1 the rate is below `mm_h`, 1 above.

    spot    (n,) rank of the spot       second  (n,) from 00:00 of the placing date
    mm_h    (n,) mm/h                   sign    (n,) int8
    first_run  (n,) row of the observation's first run in the runs given
    """

    spot: Ints
    second: Ints
    mm_h: Floats
    sign: Column
    first_run: Ints


def choose_observations(
    runs: Runs, spot_rank: Ints, placed_on: Column, as_of: np.datetime64
) -> tuple[Observations, Column]:
    """The observations on or before the day `as_of`, and why each run is none, (N,) `Exclusion`.

    spot_rank  (S,) place of each spot in the order wanted   placed_on  (S,) datetime64[D] by spot
    """
    second = (runs.started_at - placed_on[runs.spot].astype("datetime64[s]")).astype(np.int64)
    why = runs.left_out.astype(np.uint8)
    started_on = runs.started_at.astype("datetime64[D]")
    why[(why == Exclusion.NONE) & (second < 0)] = Exclusion.BEFORE_PLACING
    why[(why == Exclusion.NONE) & (started_on > as_of)] = Exclusion.AFTER_AS_OF
    spot = spot_rank[runs.spot]
    # Equal times are told apart by the number of the run, equal numbers by their values, so that
    # the order of rows never matters.
    order = np.lexsort((runs.mm_h, runs.sign, runs.run, second, spot))
    days = started_on.astype(np.int64)
    poured = order[runs.left_out[order] != Exclusion.VOID]
    too_soon = _tested_within_a_day(spot[poured], second[poured], days[poured])
    soon = np.zeros(len(why), bool)
    soon[poured] = too_soon
    why[(why == Exclusion.NONE) & soon] = Exclusion.TESTED_WITHIN_24_H
    usable = order[why[order] == Exclusion.NONE]
    chosen = _one_a_day(usable, spot, days, second, runs, why)
    return chosen, why


def _tested_within_a_day(spot: Ints, second: Ints, day: Ints) -> Bools:
    """Whether a day at the spot began under 24 hours after an earlier day's last pouring.

    Sorted by spot and time; the answer is for every run of that day.
    """
    starts = _group_starts(spot, day)
    if not len(starts):
        return np.zeros(0, bool)
    group = np.cumsum(_is_start(spot, day)) - 1
    before = starts - 1
    known = (before >= 0) & (spot[before] == spot[starts])
    earlier = np.where(known, second[before], -DAY_SECONDS * 10)
    return np.asarray((second[starts] - earlier < DAY_SECONDS)[group])


def _is_start(spot: Ints, day: Ints) -> Bools:
    new = np.ones(len(spot), bool)
    new[1:] = (spot[1:] != spot[:-1]) | (day[1:] != day[:-1])
    return new


def _group_starts(spot: Ints, day: Ints) -> Ints:
    return np.flatnonzero(_is_start(spot, day))


def _one_a_day(
    usable: Ints, spot: Ints, day: Ints, second: Ints, runs: Runs, why: Column
) -> Observations:
    """One observation for each spot and day of the usable rows; writes the others' reasons."""
    starts = _group_starts(spot[usable], day[usable])
    group = np.cumsum(_is_start(spot[usable], day[usable])) - 1
    sign, rate = runs.sign[usable], runs.mm_h[usable]
    first = np.zeros(len(usable), bool)
    first[starts] = True
    bound_day = sign[starts][group] != DRAINED if len(starts) else np.zeros(0, bool)
    drained = sign == DRAINED
    rank = _rank_within(drained, starts, group)
    taken = np.where(bound_day, first, drained & (rank < 2))
    why[usable[bound_day & ~first]] = Exclusion.AFTER_A_BOUND
    why[usable[~bound_day & ~drained]] = Exclusion.BOUND_AFTER_A_RUN
    why[usable[~bound_day & drained & (rank >= 2)]] = Exclusion.THIRD_RUN
    count = np.bincount(group[taken], minlength=len(starts))
    total = np.bincount(group[taken], weights=rate[taken], minlength=len(starts))
    rows = usable[starts]
    return Observations(spot[rows], second[rows], total / count, runs.sign[rows], rows)


def _rank_within(drained: Bools, starts: Ints, group: Ints) -> Ints:
    """How many drained runs of the same spot and day come before each."""
    before: Ints = np.cumsum(drained) - drained
    return before - before[starts][group] if len(starts) else np.zeros(0, np.int64)
