"""Records for tests: the reference portfolio of fixtures/, and small ones written by hand."""

import csv
import json
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from registry.decline.fit import FitResult, fit_decline
from registry.decline.outlook import Outlooks, outlooks_of
from registry.decline.parameters import SCALARS, Parameters
from registry.decline.portfolio import Gathered, gather_portfolio
from registry.decline.records import (
    DRIVERS,
    METHODS,
    NO,
    YES,
    Cleanings,
    Exclusion,
    Pavements,
    Records,
    Runs,
    Skips,
    Spots,
)

FIXTURES = Path(__file__).parents[2] / "fixtures"
AS_OF = np.datetime64("2026-06-30")
K_SI = 4_583_666_000  # mm/h, kg, mm, s: ASTM C1701/C1701M, from memory


def rows_of(name: str) -> list[dict[str, str]]:
    with (FIXTURES / name).open(newline="") as file:
        return list(csv.DictReader(file))


def yes(rows: list[dict[str, str]], column: str) -> Any:
    return np.array([YES if row[column] == "yes" else NO for row in rows], np.int8)


@cache
def reference_records() -> Records:
    """60 pavements, 492 runs, 203 cleanings."""
    pavements, runs, sweeps = (
        rows_of(f"portfolio/{name}.csv") for name in ("pavements", "infiltration_tests", "sweeps")
    )
    number = {row["ref"]: place for place, row in enumerate(pavements)}
    strata = {(row["pavement_ref"], row["point"]): row["stratum"] for row in runs}
    spot = {key: place for place, key in enumerate(strata)}
    rate = [
        K_SI * float(r["water_kg"]) / (float(r["ring_mm"]) ** 2 * float(r["seconds"])) for r in runs
    ]
    return Records(
        Pavements(
            ref=np.array([row["ref"] for row in pavements]),
            placed_on=np.array([row["placed_on"] for row in pavements], "datetime64[D]"),
            heavy_trees=yes(pavements, "heavy_trees"),
            winter_sand=yes(pavements, "winter_sand"),
            bare_soil_run_on=yes(pavements, "bare_soil_run_on"),
            action_mm_h=np.array([float(row["action_rate_mm_h"]) for row in pavements]),
        ),
        Spots(
            pavement=np.array([number[ref] for ref, _ in strata]),
            name=np.array([name for _, name in strata]),
            run_on_edge=np.array([int(s == "run_on_edge") for s in strata.values()], np.int8),
        ),
        Runs(
            spot=np.array([spot[row["pavement_ref"], row["point"]] for row in runs]),
            started_at=np.array([row["started_at"] for row in runs], "datetime64[s]"),
            run=np.ones(len(runs), np.int64),
            mm_h=np.array(rate),
            sign=np.array([-1 if row["ended"] == "stopped" else 0 for row in runs], np.int8),
            left_out=np.where(yes(runs, "rain_within_24_h") == YES, Exclusion.RAIN, 0).astype(
                np.uint8
            ),
        ),
        Cleanings(
            pavement=np.array([number[row["pavement_ref"]] for row in sweeps]),
            done_at=np.array([row["done_at"] for row in sweeps], "datetime64[s]"),
            method=np.array([METHODS.index(row["method"]) for row in sweeps], np.uint8),
        ),
        no_skips(),
    )


def no_skips() -> Skips:
    return Skips(np.zeros(0, np.int64), np.zeros(0, np.int64))


@cache
def reference_gathered() -> Gathered:
    return gather_portfolio(reference_records(), AS_OF)


@cache
def reference_fit() -> FitResult:
    return fit_decline(reference_gathered().portfolio)


@cache
def reference_outlooks() -> Outlooks:
    parameters = reference_fit().parameters
    assert parameters is not None
    return outlooks_of(reference_gathered().portfolio, parameters)


@cache
def expected() -> dict[str, Any]:
    with (FIXTURES / "portfolio/expected.json").open() as file:
        found: dict[str, Any] = json.load(file)
    return found


@cache
def expected_parameters() -> Parameters:
    given = expected()["parameters"]
    return Parameters(
        **{name: given[name] for name in SCALARS},
        recovery=np.array([given["recovery"][name] for name in METHODS]),
        drivers=np.array([given["drivers"][name] for name in DRIVERS]),
    )


@dataclass(frozen=True)
class Run:
    """One run written by hand: spot "P1/T1", "2024-05-01T09:00", mm/h."""

    spot: str
    at: str
    mm_h: float
    sign: int = 0
    left_out: int = 0
    number: int = 1


def hand_records(
    placed: dict[str, str],
    runs: list[Run],
    cleanings: list[tuple[str, str, str]] | None = None,
    skips: list[tuple[int, str]] | None = None,
    action_mm_h: float = 254.0,
    edges: tuple[str, ...] = (),
) -> Records:
    """Pavements by ref and placing date; cleanings as (ref, instant, method); skips as (row, spot).

    No drivers but the run-on edge of the spots in `edges`.
    """
    refs = list(placed)
    names = sorted({run.spot for run in runs} | {spot for _, spot in skips or []})
    none = np.zeros(len(refs), np.int8)
    cleanings = cleanings or []
    return Records(
        Pavements(
            ref=np.array(refs, str),
            placed_on=np.array(list(placed.values()), "datetime64[D]"),
            heavy_trees=none,
            winter_sand=none,
            bare_soil_run_on=none,
            action_mm_h=np.full(len(refs), action_mm_h),
        ),
        Spots(
            pavement=np.array([refs.index(name.split("/")[0]) for name in names], np.int64),
            name=np.array([name.split("/")[1] for name in names], str),
            run_on_edge=np.array([int(name in edges) for name in names], np.int8),
        ),
        Runs(
            spot=np.array([names.index(run.spot) for run in runs], np.int64),
            started_at=np.array([run.at for run in runs], "datetime64[s]"),
            run=np.array([run.number for run in runs], np.int64),
            mm_h=np.array([run.mm_h for run in runs], float),
            sign=np.array([run.sign for run in runs], np.int8),
            left_out=np.array([run.left_out for run in runs], np.uint8),
        ),
        Cleanings(
            pavement=np.array([refs.index(ref) for ref, _, _ in cleanings], np.int64),
            done_at=np.array([at for _, at, _ in cleanings], "datetime64[s]"),
            method=np.array([METHODS.index(how) for _, _, how in cleanings], np.uint8),
        ),
        Skips(
            cleaning=np.array([row for row, _ in skips or []], np.int64),
            spot=np.array([names.index(spot) for _, spot in skips or []], np.int64),
        ),
    )


def take(table: Any, rows: Any, **changed: Any) -> Any:
    """Some rows of a table of records."""
    columns = {field.name: getattr(table, field.name)[rows] for field in fields(table)}
    return type(table)(**{**columns, **changed})


def one_pavement(records: Records, row: int) -> Records:
    """The records of one pavement only; no skips."""
    spots = np.flatnonzero(records.spots.pavement == row)
    runs = np.flatnonzero(np.isin(records.runs.spot, spots))
    cleanings = np.flatnonzero(records.cleanings.pavement == row)
    return Records(
        take(records.pavements, [row]),
        take(records.spots, spots, pavement=np.zeros(len(spots), np.int64)),
        take(records.runs, runs, spot=np.searchsorted(spots, records.runs.spot[runs])),
        take(records.cleanings, cleanings, pavement=np.zeros(len(cleanings), np.int64)),
        no_skips(),
    )
