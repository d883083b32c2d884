"""Folders of record files, made for a test out of their rows."""

import csv
from collections.abc import Mapping
from pathlib import Path

from registry.exchange.columns import TABLES

Row = Mapping[str, object]

PAVEMENT: Row = {
    "ref": "P1",
    "name": "Lot",
    "site": "Mill Lane",
    "surface": "pervious_concrete",
    "placed_on": "2015-05-04",
    "area_m2": "420",
}
RUN: Row = {
    "pavement_ref": "P1",
    "point": "T1",
    "started_at": "2023-05-01T10:00",
    "method": "c1701",
    "ring_mm": "300",
    "water_kg": "3.6",
    "seconds": "120.5",
    "ended": "drained",
    "prewet_kg": "3.6",
    "prewet_seconds": "118",
    "rain_within_24_h": "no",
}
SWEEP: Row = {"pavement_ref": "P1", "done_at": "2023-06-01T08:00", "method": "vacuum"}


DEFECT: Row = {
    "pavement_ref": "P1",
    "kind": "crack",
    "seen_on": "2023-05-02",
    "panel": "C8",
    "right": "3.2",
    "up": "8.5",
    "unit": "ft",
}


def defect(**changes: object) -> Row:
    return {**DEFECT, **changes}


def pavement(**changes: object) -> Row:
    return {**PAVEMENT, **changes}


def run(**changes: object) -> Row:
    return {**RUN, **changes}


def sweep(**changes: object) -> Row:
    return {**SWEEP, **changes}


def folder(
    path: Path,
    *,
    pavements: tuple[Row, ...] = (),
    runs: tuple[Row, ...] = (),
    sweeps: tuple[Row, ...] = (),
    defects: tuple[Row, ...] = (),
) -> Path:
    """Write the files that have rows; the header holds all columns of the table."""
    path.mkdir(parents=True, exist_ok=True)
    for name, rows in (
        ("pavements", pavements),
        ("infiltration_tests", runs),
        ("sweeps", sweeps),
        ("defects", defects),
    ):
        if rows:
            with (path / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
                writer = csv.DictWriter(file, TABLES[name].columns, lineterminator="\n")
                writer.writeheader()
                writer.writerows(rows)
    return path
