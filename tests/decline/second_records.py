"""The second portfolio as columns of the model."""

from functools import cache

import numpy as np

from registry.decline.portfolio import Gathered, gather_portfolio
from registry.decline.records import (
    METHODS,
    NO,
    UNKNOWN,
    YES,
    Cleanings,
    Exclusion,
    Pavements,
    Records,
    Runs,
    Skips,
    Spots,
)
from tests.decline import second_rows
from tests.decline.second_rows import Lot, Run, second_lots

AS_OF = np.datetime64(second_rows.AS_OF)
SAID = {"yes": YES, "no": NO, "nk": UNKNOWN}
SIGNS = {"stopped": -1, "drained": 0, "too_fast": 1}


@cache
def second_gathered() -> Gathered:
    return gather_portfolio(records_of(second_lots()), AS_OF)


def records_of(lots: tuple[Lot, ...]) -> Records:
    places = [(row, place) for row, lot in enumerate(lots) for place in lot.places]
    runs = [(spot, run) for spot, (_, place) in enumerate(places) for run in place.runs]
    cleanings = [
        (row, nth, *one) for row, lot in enumerate(lots) for nth, one in enumerate(lot.cleanings)
    ]
    skips = [
        (number, spot)
        for number, (row, nth, *_) in enumerate(cleanings)
        for spot, (owner, place) in enumerate(places)
        if owner == row and (nth, place.name) in lots[row].skips
    ]
    pairs = np.array(skips, np.int64).reshape(-1, 2)
    return Records(
        Pavements(
            ref=np.array([lot.ref for lot in lots]),
            placed_on=np.array([lot.placed_on for lot in lots], "datetime64[D]"),
            action_mm_h=np.array([lot.action_mm_h or np.nan for lot in lots]),
            **{
                name: np.array([SAID[lot.claims[name]] for lot in lots], np.int8)
                for name in ("heavy_trees", "winter_sand", "bare_soil_run_on")
            },
        ),
        Spots(
            pavement=np.array([row for row, _ in places]),
            name=np.array([place.name for _, place in places]),
            run_on_edge=np.array([_edge(place.stratum) for _, place in places], np.int8),
        ),
        Runs(
            spot=np.array([spot for spot, _ in runs]),
            started_at=np.array([run.at for _, run in runs], "datetime64[s]"),
            run=np.ones(len(runs), np.int64),
            mm_h=np.array([run.mm_h for _, run in runs]),
            sign=np.array([SIGNS[run.ended] for _, run in runs], np.int8),
            left_out=np.array([_why_out(run) for _, run in runs], np.uint8),
        ),
        Cleanings(
            pavement=np.array([row for row, *_ in cleanings]),
            done_at=np.array([at for _, _, at, _ in cleanings], "datetime64[s]"),
            method=np.array([METHODS.index(how) for *_, how in cleanings], np.uint8),
        ),
        Skips(pairs[:, 0], pairs[:, 1]),
    )


def _edge(stratum: str) -> int:
    return YES if stratum == "run_on_edge" else NO if stratum else UNKNOWN


def _why_out(run: Run) -> Exclusion:
    if run.void:
        return Exclusion.VOID
    if run.method != "c1701":
        return Exclusion.OTHER_METHOD
    return Exclusion.RAIN if run.rain else Exclusion.NONE
