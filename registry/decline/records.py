"""What the model of decline is given: columns of pavements, spots, runs and cleanings.

All times are local wall-clock times of the pavement, without a zone; a pavement's life starts at
00:00 of `placed_on`. A replaced surface is a pavement of its own here (give it a ref of its own):
it starts at age 0 with parameters of its own. An index is the row in the table it points to.

table       column        shape, type                       meaning
Pavements   ref           (P,) str                          unique
            placed_on     (P,) datetime64[D]
            heavy_trees, winter_sand, bare_soil_run_on      (P,) int8: 1 yes, 0 no, -1 not known
            action_mm_h   (P,) float                        action level, mm/h, nan not known
Spots       pavement      (S,) int                          index
            name          (S,) str                          unique within the pavement
            run_on_edge   (S,) int8                         stratum is the run-on edge: 1, 0, -1
Runs        spot          (N,) int                          index
            started_at    (N,) datetime64[s]
            run           (N,) int                          its number, which orders one start's
            mm_h          (N,) float                        rate or bound, mm/h; nan if left out
            sign          (N,) int8                         0 a number, -1 below mm_h, 1 above it
            left_out      (N,) uint8                        `Exclusion`, 0 where it may be used
Cleanings   pavement      (C,) int                          index
            done_at       (C,) datetime64[s]
            method        (C,) uint8                        row of METHODS, or NOT_KNOWN
Skips       cleaning, spot  (K,) int                        that cleaning did not reach that spot
"""

from dataclasses import dataclass, fields
from enum import IntEnum
from typing import Any

import numpy as np
import numpy.typing as npt

from registry.decline.faults import DeclineError

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
Column = npt.NDArray[Any]

METHODS = ("broom", "regenerative_air", "vacuum", "wash_and_vacuum")
DRIVERS = ("run_on_edge", "heavy_trees", "winter_sand", "bare_soil_run_on")
NOT_KNOWN = 255  # a cleaning by a method nobody wrote down
YES, NO, UNKNOWN = 1, 0, -1


class Exclusion(IntEnum):
    """Why a run is no observation. Those up to OTHER come with the record, the rest are found.

    A record may also tell that a spot was tested under 24 hours earlier, by clocks of its zone.
    """

    NONE = 0
    RAIN = 1
    VOID = 2
    OTHER_METHOD = 3
    OTHER = 4
    BEFORE_PLACING = 5
    AFTER_AS_OF = 6
    TESTED_WITHIN_24_H = 7
    AFTER_A_BOUND = 8
    BOUND_AFTER_A_RUN = 9
    THIRD_RUN = 10


REASONS: dict[Exclusion, str] = {
    Exclusion.NONE: "",
    Exclusion.RAIN: "Rain in the 24 hours before.",
    Exclusion.VOID: "Void.",
    Exclusion.OTHER_METHOD: "Read by another method.",
    Exclusion.OTHER: "Looked at only.",
    Exclusion.BEFORE_PLACING: "Before the placing date of the surface.",
    Exclusion.AFTER_AS_OF: "After the day the outlook is drawn for.",
    Exclusion.TESTED_WITHIN_24_H: "The spot was tested under 24 hours earlier, on another day.",
    Exclusion.AFTER_A_BOUND: "The first run of that day was a bound, which stands for the day.",
    Exclusion.BOUND_AFTER_A_RUN: "A bound after a drained run of that day.",
    Exclusion.THIRD_RUN: "A third drained run of that day; the first two are averaged.",
}


@dataclass(frozen=True, eq=False)
class Pavements:
    ref: Column
    placed_on: Column
    heavy_trees: Column
    winter_sand: Column
    bare_soil_run_on: Column
    action_mm_h: Column


@dataclass(frozen=True, eq=False)
class Spots:
    pavement: Column
    name: Column
    run_on_edge: Column


@dataclass(frozen=True, eq=False)
class Runs:
    spot: Column
    started_at: Column
    run: Column
    mm_h: Column
    sign: Column
    left_out: Column


@dataclass(frozen=True, eq=False)
class Cleanings:
    pavement: Column
    done_at: Column
    method: Column


@dataclass(frozen=True, eq=False)
class Skips:
    cleaning: Column
    spot: Column


def no_skips() -> Skips:
    """Every cleaning reached every spot."""
    return Skips(np.zeros(0, np.int64), np.zeros(0, np.int64))


@dataclass(frozen=True, eq=False)
class Records:
    """All records of one pool. Raises DeclineError where they contradict themselves."""

    pavements: Pavements
    spots: Spots
    runs: Runs
    cleanings: Cleanings
    skips: Skips

    def __post_init__(self) -> None:
        for table in (self.pavements, self.spots, self.runs, self.cleanings, self.skips):
            _check_columns(table)
        _check_index("a spot", "pavement", self.spots.pavement, len(self.pavements.ref))
        _check_index("a run", "spot", self.runs.spot, len(self.spots.name))
        _check_index("a cleaning", "pavement", self.cleanings.pavement, len(self.pavements.ref))
        _check_index("a skip", "cleaning", self.skips.cleaning, len(self.cleanings.method))
        _check_index("a skip", "spot", self.skips.spot, len(self.spots.name))
        _check_pavements(self.pavements)
        _check_claims("run_on_edge", self.spots.run_on_edge)
        _check_names(self.spots)
        _check_runs(self.runs)
        _check_cleanings(self.cleanings)
        _check_skips(self)


def _check_columns(table: Any) -> None:
    shapes = {field.name: np.shape(getattr(table, field.name)) for field in fields(table)}
    if len(set(shapes.values())) != 1 or len(next(iter(shapes.values()))) != 1:
        name = type(table).__name__
        raise DeclineError(f"The columns of {name} differ in length: {shapes}.")
    for field in fields(table):
        column = getattr(table, field.name)
        if column.dtype.kind == "M" and np.isnat(column).any():
            raise DeclineError(f"A date is missing in {type(table).__name__}.{field.name}.")


def _check_index(whose: str, of: str, column: Column, count: int) -> None:
    if len(column) and (column.min() < 0 or column.max() >= count):
        raise DeclineError(f"The {of} of {whose} is not among the {count} given.")


def _check_pavements(pavements: Pavements) -> None:
    if len(np.unique(pavements.ref)) != len(pavements.ref):
        raise DeclineError("Two pavements of one pool have the same ref.")
    for name in DRIVERS[1:]:
        _check_claims(name, getattr(pavements, name))
    action = pavements.action_mm_h
    known = ~np.isnan(action)
    if np.any(action[known] <= 0) or np.any(np.isinf(action[known])):
        raise DeclineError("An action level must be above 0 mm/h and finite.")


def _check_claims(name: str, column: Column) -> None:
    if not np.isin(column, (YES, NO, UNKNOWN)).all():
        raise DeclineError(f"{name} is yes (1), no (0) or not known (-1).")


def _check_names(spots: Spots) -> None:
    """Two spots of one name would be one place on a page, with two outlooks."""
    order = np.lexsort((spots.name, spots.pavement))
    name, pavement = spots.name[order], spots.pavement[order]
    if np.any((name[1:] == name[:-1]) & (pavement[1:] == pavement[:-1])):
        raise DeclineError("Two spots of one pavement have the same name.")


def _check_runs(runs: Runs) -> None:
    if not np.isin(runs.sign, (-1, 0, 1)).all():
        raise DeclineError("The sign of a run is -1, 0 or 1.")
    told = (runs.left_out <= Exclusion.OTHER) | (runs.left_out == Exclusion.TESTED_WITHIN_24_H)
    if not told.all():
        raise DeclineError("A run is left out for a reason that records cannot give.")
    used = runs.mm_h[runs.left_out == Exclusion.NONE]
    if not (np.isfinite(used).all() and (used > 0).all()):
        raise DeclineError("The rate of a usable run must be above 0 mm/h and finite.")


def _check_cleanings(cleanings: Cleanings) -> None:
    if not np.isin(cleanings.method, (*range(len(METHODS)), NOT_KNOWN)).all():
        raise DeclineError(f"The method of a cleaning is one of {', '.join(METHODS)}.")


def _check_skips(records: Records) -> None:
    cleaned = records.cleanings.pavement[records.skips.cleaning]
    if np.any(cleaned != records.spots.pavement[records.skips.spot]):
        raise DeclineError("A cleaning cannot skip a spot of another pavement.")
