"""Rows of many pavements -> the columns the model of decline takes. No loop touches the database.

A *life* is one surface from its placing on. A spot in concrete of another day than the pavement's
(a replaced panel) lives its own life: it starts at age 0 with parameters of its own. A pavement
without a placing date has no age and no life here.

Clock times nobody wrote are given by `same_day.SameDay`. A test of a cleaning's own day whose
order is not known is kept out of the record's use before it comes here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

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
from registry.gathering.decline_tables import DeclineTables
from registry.gathering.same_day import SIDE_OF_REASON, SameDay
from registry.gathering.surface_parts import SurfaceParts, surface_parts
from registry.measuring.use import OF_A_TREND_ALONE
from registry.models import (
    CLASS_OF,
    UseOfTest,
)
from registry.models.choices import StratumKind

CLAIM = {"yes": YES, "no": NO}
SIGN = {"": 0, "<": -1, ">": 1}
WHY_OUT = {
    "wet_day": Exclusion.RAIN,
    "not_to_standard": Exclusion.OTHER_METHOD,
    "under_24_h": Exclusion.TESTED_WITHIN_24_H,
}


@dataclass(frozen=True)
class Life:
    """One surface: of which pavement, and since when."""

    pavement: int
    placed_on: date

    @property
    def ref(self) -> str:
        """Return a name that sorts by pavement, the pavement's own life first by its date."""
        return f"{self.pavement:012d}/{self.placed_on.isoformat()}"


@dataclass
class PoolRows:
    """The records of some pavements, with the way back from rows of the model to the database.

    lives        of each row of `records.pavements`
    spots        of each row of `records.spots`: (pk, name, ended_on)
    panels       of each row of `records.spots`: the panel it lies in, None where that is not known
    without_age  pavements that have no placing date, and so no place in the model
    parts        how much of each pavement is its run-on edge
    """

    records: Records
    lives: list[Life]
    spots: list[tuple[int, str, date | None]]
    panels: list[int | None]
    without_age: list[int]
    parts: dict[int, SurfaceParts]


def gather_records(pavement_ids: Iterable[int], *, on: date) -> PoolRows:
    """Return the records of these pavements; action levels as of a day."""
    return arrange_records(DeclineTables(sorted(set(pavement_ids))), on=on)


def arrange_records(tables: DeclineTables, *, on: date) -> PoolRows:
    """Return the records of rows that `tables` gives, from the database or fetched before."""
    return _Gathering(tables, on).rows()


class _Gathering:
    """One pass over each table."""

    def __init__(self, tables: DeclineTables, on: date) -> None:
        self.tables, self.on = tables, on
        self.life_row: dict[tuple[int, date], int] = {}
        self.lives: list[Life] = []
        self.drivers: list[tuple[int, int, int]] = []
        self.zones: dict[int, ZoneInfo] = {}
        self.placed: dict[int, date] = {}
        self.area_m2: dict[int, float | None] = {}
        self.claims: dict[int, tuple[int, int, int]] = {}
        self.without_age: list[int] = []

    def rows(self) -> PoolRows:
        self._read_pavements()
        spots = self._read_spots()
        cleaned = self.tables.cleanings()
        order = SameDay.of((p, on, _wall(at, self.zones[p])) for _, p, on, at, _, _ in cleaned)
        runs = self._read_runs(spots, order)
        cleanings, skips = self._place_cleanings(cleaned, spots, order)
        action = self.tables.action_levels(self.area_m2, self.on)
        levels = [action.get(life.pavement) for life in self.lives]
        claims = np.array([self.claims[life.pavement] for life in self.lives], np.int8)
        claims = claims.reshape(len(self.lives), 3)
        pavements = Pavements(
            ref=np.array([life.ref for life in self.lives], dtype=str),
            placed_on=np.array([life.placed_on for life in self.lives], "datetime64[D]"),
            heavy_trees=claims[:, 0],
            winter_sand=claims[:, 1],
            bare_soil_run_on=claims[:, 2],
            action_mm_h=np.array([np.nan if v is None else v for v in levels], float),
        )
        records = Records(pavements, spots.table, runs, cleanings, skips)
        return PoolRows(
            records=records,
            lives=self.lives,
            spots=spots.back,
            panels=[panel for _, panel in spots.panel],
            without_age=self.without_age,
            parts=surface_parts(self.area_m2, self._tested_at_edge(spots), self.tables.strata()),
        )

    def _tested_at_edge(self, spots: "_SpotRows") -> set[int]:
        rows = spots.table.pavement[spots.table.run_on_edge == YES]
        return {self.lives[row].pavement for row in rows.tolist()}

    def _read_pavements(self) -> None:
        for pk, area_m2, placed_on, *claims, zone in self.tables.pavements():
            self.zones[pk] = ZoneInfo(zone)
            self.area_m2[pk] = area_m2
            self.claims[pk] = tuple(CLAIM.get(c, UNKNOWN) for c in claims)  # type: ignore[assignment]
            if placed_on is None:
                self.without_age.append(pk)
            else:
                self.placed[pk] = placed_on
                self._life(pk, placed_on)

    def _life(self, pavement: int, placed_on: date) -> int:
        key = (pavement, placed_on)
        if key not in self.life_row:
            self.life_row[key] = len(self.lives)
            self.lives.append(Life(pavement, placed_on))
        return self.life_row[key]

    def _read_spots(self) -> "_SpotRows":
        found = _SpotRows()
        lives: list[int] = []
        names: list[str] = []
        edges: list[int] = []
        for pk, pavement, name, stratum, concrete_on, ended_on, panel in self.tables.spots():
            placed_on = concrete_on or self.placed.get(pavement)
            if placed_on is None:
                continue
            found.row_of[pk] = len(lives)
            found.back.append((pk, name, ended_on))
            found.panel.append((pavement, panel))
            lives.append(self._life(pavement, placed_on))
            names.append(f"{name} {pk}")
            edges.append(YES if stratum == StratumKind.RUN_ON_EDGE else NO if stratum else UNKNOWN)
        found.table = Spots(
            pavement=np.array(lives, np.int64),
            name=np.array(names, dtype=str),
            run_on_edge=np.array(edges, np.int8),
        )
        return found

    def _read_runs(self, spots: "_SpotRows", order: SameDay) -> Runs:
        sides, rows = self.tables.sides(), self.tables.runs()
        columns: list[tuple[Any, ...]] = []
        for spot, on, at, mm_h, sign, use, code, reason, void_at, double, method, run, pk in rows:
            row = spots.row_of.get(spot)
            if row is None:
                continue
            out = _why_out(use, code, void_at is not None or double is not None, mm_h, method)
            pavement = spots.panel[row][0]
            side = SIDE_OF_REASON.get(reason) or sides.get(pk, "")
            clock = _wall(at, self.zones[pavement])
            started = order.test_clock((pavement, on), clock, "" if out else side)
            rate = np.nan if mm_h is None else mm_h
            columns.append((row, started, run, rate, SIGN[sign], out))
        spot_rows, started_at, numbers, rates, signs, outs = (
            zip(*columns, strict=True) if columns else ((), (), (), (), (), ())
        )
        return Runs(
            spot=np.array(spot_rows, np.int64),
            started_at=np.array(started_at, "datetime64[s]"),
            run=np.array(numbers, np.int64),
            mm_h=np.array(rates, float),
            sign=np.array(signs, np.int8),
            left_out=np.array(outs, np.uint8),
        )

    def _place_cleanings(
        self, rows: Sequence[Any], spots: "_SpotRows", order: SameDay
    ) -> tuple[Cleanings, Skips]:
        lives_of: dict[int, list[int]] = {}
        for row, one in enumerate(self.lives):
            lives_of.setdefault(one.pavement, []).append(row)
        panels = self.tables.panels({r[0] for r in rows if not r[5]})
        table: list[tuple[int, datetime, int]] = []
        skips: list[tuple[int, int]] = []
        spots_of_life: dict[int, list[int]] = {}
        for spot, of_life in enumerate(spots.table.pavement.tolist()):
            spots_of_life.setdefault(of_life, []).append(spot)
        for pk, pavement, on, at, method, covers_all in rows:
            kind = CLASS_OF[method]
            if not kind:
                continue
            done_at = order.cleaning_clock((pavement, on), _wall(at, self.zones[pavement]))
            for life in lives_of.get(pavement, ()):
                if self.lives[life].placed_on > on:
                    continue
                covered, missed = panels.get(pk, (frozenset(), frozenset()))
                skips += [
                    (len(table), spot)
                    for spot in spots_of_life.get(life, ())
                    if not covers_all and _is_skipped(spots.panel[spot][1], covered, missed)
                ]
                table.append((life, done_at, METHODS.index(kind)))
        return _cleaning_columns(table, skips)


class _SpotRows:
    """Spots as rows of the model, and back."""

    def __init__(self) -> None:
        self.table: Spots
        self.row_of: dict[int, int] = {}
        self.back: list[tuple[int, str, date | None]] = []
        self.panel: list[tuple[int, int | None]] = []


def _why_out(use: str, code: str, is_void: bool, mm_h: float | None, method: str) -> Exclusion:
    if is_void or use == UseOfTest.VOID:
        return Exclusion.VOID
    if method not in ("c1701", "c1781"):
        return Exclusion.OTHER_METHOD
    is_usable = use in (UseOfTest.TREND, UseOfTest.BOUND) or code in OF_A_TREND_ALONE
    if is_usable and mm_h is not None:
        return Exclusion.NONE
    return WHY_OUT.get(code, Exclusion.OTHER)


def _wall(at: datetime | None, zone: ZoneInfo) -> datetime | None:
    """Return the site's wall clock, without a zone."""
    return None if at is None else at.astimezone(zone).replace(tzinfo=None)


def _is_skipped(panel: int | None, covered: frozenset[int], missed: frozenset[int]) -> bool:
    if panel is None:
        return False
    return panel in missed or (bool(covered) and panel not in covered)


def _cleaning_columns(
    table: list[tuple[int, datetime, int]], skips: list[tuple[int, int]]
) -> tuple[Cleanings, Skips]:
    pairs = np.array(skips, np.int64).reshape(len(skips), 2)
    return (
        Cleanings(
            pavement=np.array([row[0] for row in table], np.int64),
            done_at=np.array([row[1] for row in table], "datetime64[s]"),
            method=np.array([row[2] for row in table], np.uint8),
        ),
        Skips(cleaning=pairs[:, 0], spot=pairs[:, 1]),
    )
