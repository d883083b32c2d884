"""The cleanings that reached each spot, as lists that end where the next begins.

Every pavement has one history: all its cleanings. A spot whose panel was skipped by some of them
has a history of its own, without those; they do not reset it.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.records import NOT_KNOWN, Column, Ints, Records

SECONDS_A_YEAR = 86_400 * 365.25
# Seconds from placing fit in 34 bits for 500 years: a history and a time make one sortable key.
KEY_BITS = 34


@dataclass(frozen=True, eq=False)
class Histories:
    """H lists laid end to end; list p < P is that of pavement p.

    first    (H + 1,) where each list starts in the two columns below
    second   (C,) of each cleaning, from 00:00 of the placing date, rising within a list
    method   (C,) row of METHODS
    of_spot  (S,) the list of each spot
    """

    first: Ints
    second: Ints
    method: Column
    of_spot: Ints

    def count_before(self, history: Ints, second: Ints, *, or_at: bool = False) -> Ints:
        """How many cleanings of a list come before a time, (n,); with `or_at` also at it."""
        owner = np.repeat(np.arange(len(self.first) - 1), np.diff(self.first))
        keys = (owner << KEY_BITS) + self.second
        wanted = (history << KEY_BITS) + second
        found = np.searchsorted(keys, wanted, side="right" if or_at else "left")
        return np.asarray(found - self.first[history])


def gather_histories(
    records: Records, pavement_rank: Ints, spot_order: Ints, as_of: np.datetime64
) -> tuple[Histories, Ints]:
    """The histories, and the rows of cleanings left out.

    Left out: before the placing date, after the day `as_of`, or by a method not known.
    pavement_rank  (P,) place of each pavement in the order wanted
    spot_order     (S,) rows of the spots in the order wanted
    """
    table = records.cleanings
    placed = records.pavements.placed_on[table.pavement].astype("datetime64[s]")
    second = (table.done_at - placed).astype(np.int64)
    late = table.done_at.astype("datetime64[D]") > as_of
    used = (second >= 0) & ~late & (table.method != NOT_KNOWN)
    rows = np.flatnonzero(used)
    owner = pavement_rank[table.pavement[rows]]
    of_spot = pavement_rank[records.spots.pavement[spot_order]]
    extra_owner, extra_rows, of_spot = _skipping(records, rows, spot_order, of_spot)
    owner, rows = np.concatenate((owner, extra_owner)), np.concatenate((rows, extra_rows))
    order = np.lexsort((table.method[rows], second[rows], owner))
    rows, owner = rows[order], owner[order]
    lists = max(len(pavement_rank), int(of_spot.max(initial=-1)) + 1)
    first = np.concatenate(([0], np.cumsum(np.bincount(owner, minlength=lists))))
    return Histories(first, second[rows], table.method[rows], of_spot), np.flatnonzero(~used)


def _skipping(
    records: Records, rows: Ints, spot_order: Ints, of_spot: Ints
) -> tuple[Ints, Ints, Ints]:
    """Owner and row of each cleaning in the lists of spots that were skipped at least once."""
    skips, count = records.skips, len(records.cleanings.method)
    spots = np.flatnonzero(np.isin(spot_order, skips.spot))
    if not len(spots):
        return np.zeros(0, np.int64), np.zeros(0, np.int64), of_spot
    of_spot = of_spot.copy()
    number = np.arange(len(spots)) + len(records.pavements.ref)
    of_spot[spots] = number
    # Every cleaning of the pavement, once for each of its skipped spots.
    by_pavement = rows[np.argsort(records.cleanings.pavement[rows], kind="stable")]
    owners = records.cleanings.pavement[by_pavement]
    wanted = records.spots.pavement[spot_order[spots]]
    low, high = np.searchsorted(owners, wanted), np.searchsorted(owners, wanted, side="right")
    length = high - low
    start = np.repeat(low - np.concatenate(([0], np.cumsum(length)[:-1])), length)
    cleaning = by_pavement[start + np.arange(length.sum())]
    owner = np.repeat(number, length)
    spot_row = np.repeat(spot_order[spots], length)
    skipped = np.isin(spot_row * count + cleaning, skips.spot * count + skips.cleaning)
    return owner[~skipped], cleaning[~skipped], of_spot
