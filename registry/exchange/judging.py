"""New tests and cleanings -> rows ready to be stored, judged as those typed in by hand are.

A pavement's tests are judged together, those of the record with those of the file, since an older
one changes what is said of a younger one. Pavements go through in portions, so that 100 000 tests
never stand in memory as whole rows: what is kept of each is what the database takes.

Keys below zero stand for pavements and spots that are not stored yet; the action puts in theirs.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, TypeVar

from registry.exchange.building import entry_keys
from registry.exchange.columns import SWEEPS, TESTS
from registry.exchange.earlier import Earlier, gather_earlier
from registry.exchange.hidden import Hidden
from registry.exchange.known import KnownRef, chunks
from registry.exchange.matching import Matched
from registry.exchange.problems import Problem
from registry.exchange.records import Records
from registry.exchange.run_rows import PREWET, WATER, RunRow
from registry.exchange.spots import SpotBook, place_of
from registry.exchange.sweep_rows import SweepRow
from registry.gathering.readings import apply_judged, gather_readings, judge_readings
from registry.measuring.doubts import Doubt
from registry.measuring.veil import veil_doubts
from registry.models import Cleaning, ImportBatch, InfiltrationTest, Spot, UseOfTest
from registry.models.cleaning import RESTORATIVE
from registry.models.many_rows import ManyRows
from registry.units import System

AT_ONCE = 50
"""Pavements judged together."""

COLUMN_OF = {
    "wrong_water": "water",
    "water_other_system": "water",
    "prewet_time_missing": "prewet_seconds",
    "prewet_water_missing": "prewet",
    "wrong_prewet_water": "prewet",
    "wet_day": "rain_within_24_h",
    "rain_unknown": "rain_within_24_h",
    "too_fast": "ended",
    "too_short": "seconds",
    "too_long": "seconds",
    "prewet_too_long": "prewet_seconds",
    "under_24_h": "started_at",
    "24_h_not_shown": "started_at",
    "cleaning_order_unknown": "started_at",
    "washed_within_48h": "started_at",
    "under_7_days": "started_at",
    "third_run": "run",
}
"""The column to look at first, by the code of a doubt."""
WITH_UNIT = {"water": WATER, "prewet": PREWET}
"""Columns of those that have a unit in their header: in SI, in inch-pound."""

_BESIDE = " In a file its note begins with “After cleaning.” or “Before cleaning.” then."
IN_A_FILE = {"washed_within_48h": _BESIDE, "cleaning_order_unknown": _BESIDE}
"""How a file answers a doubt for which a page has a field."""

Packed = list[Any]


@dataclass
class Ready:
    """Packed rows, as `ManyRows` stores them, and what the action needs to put the keys in."""

    tests: list[Packed] = field(default_factory=list)
    sweeps: list[Packed] = field(default_factory=list)
    listed_sweeps: list[tuple[Cleaning, list[int]]] = field(default_factory=list)
    """Cleanings that list their panels, with the keys of these."""
    to_judge_again: set[int] = field(default_factory=set)
    """Pavements of the record whose older tests the new ones may change."""


@dataclass
class Judge:
    """Judges pavement by pavement and packs the new rows."""

    records: Records
    known: Mapping[str, KnownRef]
    batch: ImportBatch
    now: datetime
    progress: Callable[[int], None]
    ready: Ready = field(default_factory=Ready)
    hidden: Hidden = field(default_factory=Hidden)
    done: int = 0

    def __post_init__(self) -> None:
        shared = entry_keys(self.batch, self.now)
        self.tests: ManyRows[InfiltrationTest] = ManyRows(
            InfiltrationTest, use=UseOfTest.NOT_COMPUTED.value, **shared
        )
        self.sweeps: ManyRows[Cleaning] = ManyRows(Cleaning, **shared)
        self.spots = SpotBook(
            self.records.file(TESTS), self.records.doubts, ManyRows(Spot, **shared)
        )

    def judge(self, matched: Matched) -> Ready:
        """Return the rows to be stored; doubts are added to those of the records."""
        tests, sweeps = _by_ref(matched.tests), _by_ref(matched.sweeps)
        self.hidden = matched.hidden
        keys = {row.ref: -place for place, row in enumerate(matched.pavements, start=1)}
        placed = {row.ref: row.placed_on for row in matched.pavements}
        matched.tests, matched.sweeps, self.records.tests, self.records.sweeps = [], [], [], []
        for refs in chunks(sorted({*tests, *sweeps}), AT_ONCE):
            old = [self.known[ref].pavement_id for ref in refs if ref not in keys]
            earlier = gather_earlier(old)
            for ref in refs:
                key = keys[ref] if ref in keys else self.known[ref].pavement_id
                placed_on = placed[ref] if ref in keys else earlier.placed_on[key]
                self._judge_pavement(
                    key, placed_on, tests.pop(ref, []), sweeps.pop(ref, []), earlier
                )
        return self.ready

    def _judge_pavement(
        self,
        key: int,
        placed_on: date | None,
        tests: Sequence[RunRow],
        sweeps: Sequence[SweepRow],
        earlier: Earlier,
    ) -> None:
        cleanings = [self._cleaning(row, key, earlier) for row in sweeps]
        for swept in sweeps:
            self._ask_about_day(SWEEPS, "done_at", swept.row, swept.done_on, placed_on)
        rows = [(self._test(row, key, earlier), row) for row in tests]
        by_entry = {id(entry): row for entry, row in rows}
        together = gather_readings(
            placed_on,
            [*earlier.tests[key], *(entry for entry, _ in rows)],
            [*earlier.cleanings[key], *cleanings],
        )
        is_veiled = self.hidden.hides_any(earlier.tests[key], earlier.cleanings[key])
        for entry, judged in judge_readings(together):
            row = by_entry.get(id(entry))
            if row is not None:
                apply_judged(entry, judged, self.now)
                told = veil_doubts(judged.doubts) if is_veiled else judged.doubts
                self._note_doubts(row, told, placed_on)
        self.ready.tests += [self.tests.packed(entry) for entry, _ in rows]
        if earlier.tests[key]:
            self.ready.to_judge_again.add(key)
        self.done += len(rows)
        self.progress(self.done)

    def _test(self, row: RunRow, key: int, earlier: Earlier) -> InfiltrationTest:
        spot = self.spots.spot_of(row, key, earlier)
        place = place_of(row)
        entry = self.tests.make(
            pavement_id=key,
            spot_id=spot.pk,
            method=row.method,
            stratum=row.stratum or spot.stratum,
            place_used=place if place != spot.place else "",
            started_on=row.started_on,
            started_at=row.started_at,
            run=row.run,
            system=row.system.value,
            ring=row.ring,
            prewet_water=row.prewet_water,
            prewet_seconds=row.prewet_seconds,
            water=row.water,
            seconds=row.seconds,
            ended=row.ended,
            reason=row.reason,
            water_left=row.water_left,
            rain_within_24_h=row.rain_within_24_h,
            note=row.note,
            as_written=row.written,
            empties=row.empties,
        )
        entry.spot = spot
        return entry

    def _cleaning(self, row: SweepRow, key: int, earlier: Earlier) -> Cleaning:
        entry = self.sweeps.make(
            pavement_id=key,
            done_on=row.done_on,
            started_at=row.started_at,
            method=row.method,
            is_restorative=row.method in RESTORATIVE,
            surface="wet" if row.surface_wet == "yes" else "",
            passes=row.passes,
            covers_all=not row.panels,
            rows_text=row.panels,
            debris_m3=row.debris_m3,
            note=row.note,
            as_written=row.written,
            empties={n: kind for n, kind in row.empties.items() if n != "surface_wet"},
        )
        panels = self._panels(row, key, earlier)
        if panels:
            self.ready.listed_sweeps.append((entry, panels))
            self.ready.to_judge_again.add(key)
        else:
            self.ready.sweeps.append(self.sweeps.packed(entry))
        return entry

    def _panels(self, row: SweepRow, key: int, earlier: Earlier) -> list[int]:
        """Keys of the panels a row lists, each by its name; anything else is kept as written."""
        if not row.panels or key not in earlier.with_panels:
            return []
        names = row.panels.replace(",", " ").replace(";", " ").split()
        found = [earlier.panels.get((key, name)) for name in names]
        if any(panel is None for panel in found):
            strange = ", ".join(n for n, p in zip(names, found, strict=True) if p is None)
            self.records.doubts.add(
                Problem(
                    self.records.file(SWEEPS),
                    row.row,
                    "panels",
                    f"The plan of this pavement has no panel {strange}; which panels were "
                    "covered is not known.",
                    "Name each panel, parted by blanks, or pick them on the page of the cleaning.",
                )
            )
            return []
        return [panel.pk for panel in found if panel is not None]

    def _note_doubts(self, row: RunRow, doubts: Iterable[Doubt], placed_on: date | None) -> None:
        file = self.records.file(TESTS)
        for doubt in doubts:
            column = self._column(doubt.code, row)
            mend = f"{doubt.mend}{IN_A_FILE.get(doubt.code, '')}"
            self.records.doubts.add(Problem(file, row.row, column, doubt.message, mend))
        self._ask_about_day(TESTS, "started_at", row.row, row.started_on, placed_on)

    def _column(self, code: str, row: RunRow) -> str:
        """Return the header to look at first; of a reading with a unit, as the file has it."""
        column = COLUMN_OF.get(code, "")
        if column not in WITH_UNIT:
            return column
        si, inch_pound = WITH_UNIT[column]
        own, other = (si, inch_pound) if row.system is System.SI else (inch_pound, si)
        header = self.records.headers.get(TESTS, ())
        return other if other in header and own not in header else own

    def _ask_about_day(
        self, table: str, column: str, row: int, on: date, placed_on: date | None
    ) -> None:
        if placed_on is None or on >= placed_on:
            return
        what = "test" if table == TESTS else "cleaning"
        message = f"The {what} is dated before the pavement was placed, {placed_on}."
        mend = "Ask which of the two days is wrong."
        self.records.doubts.add(Problem(self.records.file(table), row, column, message, mend))


Placed = TypeVar("Placed", RunRow, SweepRow)


def _by_ref(rows: Iterable[Placed]) -> dict[str, list[Placed]]:
    found: dict[str, list[Placed]] = defaultdict(list)
    for row in rows:
        found[row.ref].append(row)
    return found
