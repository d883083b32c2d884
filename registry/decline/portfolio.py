"""One pool as the model sees it: sorted, indexed, times in years.

Pavements are sorted by ref, spots by name within their pavement, observations by spot and time:
the order of the rows given changes nothing. Years are seconds / 86 400 / 365.25 from 00:00 of the
placing date; a cleaning at the very instant of a test counts as after it.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.histories import SECONDS_A_YEAR, Histories, gather_histories
from registry.decline.observations import Observations, choose_observations
from registry.decline.records import DRIVERS, UNKNOWN, YES, Bools, Column, Floats, Ints, Records


@dataclass(frozen=True, eq=False)
class CleaningLists:
    """H lists of cleanings laid end to end, as `ages` reads them.

    first   (H + 1,) where each list starts
    gap     (C,) years since the cleaning before, or since placing for the first of a list
    method  (C,) row of METHODS
    """

    first: Ints
    gap: Floats
    method: Column


@dataclass(frozen=True, eq=False)
class Portfolio:
    """P pavements, S spots, H cleaning lists (list p < P is pavement p's), n observations.

    ref, placed_on, action_mm_h  (P,)   pavement_driver (P, 4): DRIVERS, 0 or 1, run-on edge 0
    spot_pavement (S,)   spot_name (S,)   spot_driver (S, 4)   spot_list (S,) cleaning list
    spot      (n,) of each observation, rising
    passed    (n,) how many cleanings of the spot's list came before it
    since     (n,) years since the last of them, or since placing
    ln_rate   (n,) ln of mm/h   sign (n,) 0 a number, -1 the rate is below it, 1 above
    visit_on  (n,) datetime64[D]
    """

    as_of: np.datetime64
    ref: Column
    placed_on: Column
    action_mm_h: Floats
    pavement_driver: Floats
    spot_pavement: Ints
    spot_name: Column
    spot_driver: Floats
    spot_list: Ints
    lists: CleaningLists
    spot: Ints
    passed: Ints
    since: Floats
    ln_rate: Floats
    sign: Column
    visit_on: Column

    @property
    def observed_pavement(self) -> Ints:
        """(n,) the pavement of each observation."""
        return self.spot_pavement[self.spot]

    def tests_of_spots(self) -> Ints:
        """(S,) observations at each spot."""
        return np.bincount(self.spot, minlength=len(self.spot_name))

    def tests_of_pavements(self) -> Ints:
        """(P,) observations on each pavement."""
        return np.bincount(self.observed_pavement, minlength=len(self.ref))


@dataclass(frozen=True, eq=False)
class LeftOut:
    """What did not enter, and what counted as 0 because nobody knows it.

    run        (N,) `Exclusion` of each run given, 0 for the runs that made an observation
    cleaning   rows of the cleanings left out
    unknown_drivers  (4,) number of pavements (for the run-on edge: spots) by DRIVERS
    """

    run: Column
    cleaning: Ints
    unknown_drivers: Ints


@dataclass(frozen=True, eq=False)
class Gathered:
    """A portfolio, and the way back to the rows it came from: row of each pavement and spot."""

    portfolio: Portfolio
    left_out: LeftOut
    pavement_row: Ints
    spot_row: Ints


def gather_portfolio(records: Records, as_of: np.datetime64) -> Gathered:
    """Sort, choose and index the records known at the end of the day `as_of`, datetime64[D]."""
    pavements, spots = records.pavements, records.spots
    pavement_row = np.argsort(pavements.ref, kind="stable")
    pavement_rank = _ranks(pavement_row)
    spot_row = np.lexsort((spots.name, pavement_rank[spots.pavement]))
    placed_of_spot = pavements.placed_on[spots.pavement]
    chosen, why = choose_observations(records.runs, _ranks(spot_row), placed_of_spot, as_of)
    histories, cleaning_out = gather_histories(records, pavement_rank, spot_row, as_of)
    passed, since = _since_cleaning(histories, histories.of_spot[chosen.spot], chosen)
    drivers, unknown = _drivers(records)
    spot_pavement = pavement_rank[spots.pavement[spot_row]]
    pavement_driver = drivers[pavement_row]
    spot_driver = pavement_driver[spot_pavement]
    spot_driver[:, 0] = spots.run_on_edge[spot_row] == YES
    portfolio = Portfolio(
        as_of=as_of,
        ref=pavements.ref[pavement_row],
        placed_on=pavements.placed_on[pavement_row],
        action_mm_h=pavements.action_mm_h[pavement_row].astype(float),
        pavement_driver=pavement_driver,
        spot_pavement=spot_pavement,
        spot_name=spots.name[spot_row],
        spot_driver=spot_driver,
        spot_list=histories.of_spot,
        lists=_cleaning_lists(histories),
        spot=chosen.spot,
        passed=passed,
        since=since,
        ln_rate=np.log(chosen.mm_h),
        sign=chosen.sign,
        visit_on=records.runs.started_at[chosen.first_run].astype("datetime64[D]"),
    )
    left_out = LeftOut(why, cleaning_out, unknown)
    return Gathered(portfolio, left_out, pavement_row, spot_row)


def _ranks(order: Ints) -> Ints:
    ranks = np.empty(len(order), np.int64)
    ranks[order] = np.arange(len(order))
    return ranks


def _since_cleaning(
    histories: Histories, history: Ints, chosen: Observations
) -> tuple[Ints, Floats]:
    passed = histories.count_before(history, chosen.second)
    last = histories.first[history] + passed - 1
    cleaned = np.append(histories.second, 0)[np.where(passed > 0, last, -1)]
    return passed, (chosen.second - cleaned) / SECONDS_A_YEAR


def _cleaning_lists(histories: Histories) -> CleaningLists:
    gap = np.diff(histories.second, prepend=0)
    starts = histories.first[:-1][np.diff(histories.first) > 0]
    gap[starts] = histories.second[starts]
    return CleaningLists(histories.first, gap / SECONDS_A_YEAR, histories.method)


def _drivers(records: Records) -> tuple[Floats, Ints]:
    """(P, 4) by row given, not known as 0, and how many are not known by driver."""
    columns = [getattr(records.pavements, name) for name in DRIVERS[1:]]
    claims = np.stack(columns, axis=1)
    drivers = np.zeros((len(claims), len(DRIVERS)))
    drivers[:, 1:] = claims == YES
    edge_unknown = np.count_nonzero(records.spots.run_on_edge == UNKNOWN)
    return drivers, np.array([edge_unknown, *(claims == UNKNOWN).sum(axis=0)])


def select_pavements(portfolio: Portfolio, wanted: Bools) -> Portfolio:
    """The portfolio of those pavements only, (P,) bool, with all that hangs off them."""
    spots = wanted[portfolio.spot_pavement]
    seen = spots[portfolio.spot]
    pavements_before = np.cumsum(wanted) - 1
    lists_wanted = np.zeros(len(portfolio.lists.first) - 1, bool)
    lists_wanted[: len(wanted)] = wanted
    lists_wanted[portfolio.spot_list[spots]] = True
    return Portfolio(
        as_of=portfolio.as_of,
        ref=portfolio.ref[wanted],
        placed_on=portfolio.placed_on[wanted],
        action_mm_h=portfolio.action_mm_h[wanted],
        pavement_driver=portfolio.pavement_driver[wanted],
        spot_pavement=pavements_before[portfolio.spot_pavement[spots]],
        spot_name=portfolio.spot_name[spots],
        spot_driver=portfolio.spot_driver[spots],
        spot_list=(np.cumsum(lists_wanted) - 1)[portfolio.spot_list[spots]],
        lists=_select_lists(portfolio.lists, lists_wanted),
        spot=(np.cumsum(spots) - 1)[portfolio.spot[seen]],
        passed=portfolio.passed[seen],
        since=portfolio.since[seen],
        ln_rate=portfolio.ln_rate[seen],
        sign=portfolio.sign[seen],
        visit_on=portfolio.visit_on[seen],
    )


def _select_lists(lists: CleaningLists, wanted: Bools) -> CleaningLists:
    length = np.diff(lists.first)
    cleanings = np.repeat(wanted, length)
    first = np.concatenate(([0], np.cumsum(length[wanted])))
    return CleaningLists(first, lists.gap[cleanings], lists.method[cleanings])
