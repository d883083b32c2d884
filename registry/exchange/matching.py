"""Rows against the record: known already, new, or different (a fault that names what differs)."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from math import isclose
from typing import Any

from registry.exchange.columns import IN_ORDER, PAVEMENTS, SWEEPS, TESTS
from registry.exchange.hidden import Hidden, gather_hidden
from registry.exchange.known import (
    COMPARED,
    KnownRef,
    chunks,
    known_cleanings,
    known_tests,
    pavements_by_id,
)
from registry.exchange.pavement_rows import PavementRow
from registry.exchange.problems import Problem
from registry.exchange.records import Records
from registry.exchange.run_notes import read_front
from registry.exchange.run_rows import RunRow
from registry.exchange.shown import rights_at_once
from registry.exchange.sweep_rows import SweepRow
from registry.measuring import area_slip
from registry.models import Cleaning, Organisation, Pavement, Site

MEND = "Correct it in the record, or in the file; a spreadsheet corrects nothing by itself."
COLUMNS_OF = {
    "system": "ring_mm or ring_in",
    "ring": "ring_mm or ring_in",
    "water": "water_kg or water_lb",
    "prewet_water": "prewet_kg or prewet_lb",
    "reason": "note",
    "water_left": "note",
}
"""Where a field of a test stands in the file, if not under its own name."""
IN_NOTES = ("reason", "water_left")

Difference = tuple[str, Any, Any]
"""Column, in the file, in the record."""


@dataclass
class Matched:
    """What of a spreadsheet is new, how much the record holds already, and what it hides."""

    pavements: list[PavementRow] = field(default_factory=list)
    tests: list[RunRow] = field(default_factory=list)
    sweeps: list[SweepRow] = field(default_factory=list)
    known: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    hidden: Hidden = field(default_factory=Hidden)


def match(
    records: Records, known: Mapping[str, KnownRef], organisation: Organisation, at: datetime
) -> Matched:
    """Return what is new. Rows that differ from the record are added to the faults.

    What the seats of the organisation hide from it at an instant is not compared: of a hidden
    test or cleaning of the same place and time it is told that there is one, and no more.
    """
    matched = Matched()
    _refuse_two_refs(records, known)
    matched.pavements = [r for r in records.pavements if r.ref not in known]
    _match_pavements(records, known, matched, organisation, at)
    ids = {ref: known[ref].pavement_id for ref in _refs(records) if ref in known}
    hidden = matched.hidden = gather_hidden(ids.values(), organisation, at)
    _match_tests(records, ids, matched, hidden)
    _match_sweeps(records, ids, matched, hidden)
    return matched


def _refs(records: Records) -> set[str]:
    return {row.ref for row in records.tests} | {row.ref for row in records.sweeps}


def _differ(records: Records, table: str, row: int, found: Iterable[Difference]) -> bool:
    """Note each difference; say whether there was any."""
    any_found = False
    for column, in_file, in_record in found:
        any_found = True
        message = f"The record has {_said(in_record)} here, the file {_said(in_file)}."
        if column.startswith("area") and in_record and in_file:
            slip = area_slip(float(in_file), float(in_record))
            message += " They differ 10.76 times, as m² and ft² do." if slip else ""
        records.faults.add(Problem(records.file(table), row, column, message, MEND))
    return any_found


def _said(value: object) -> str:
    if value in (None, ""):
        return "nothing"
    return f"{value:.10g}" if isinstance(value, float) else f"“{value}”"


def _refuse_two_refs(records: Records, known: Mapping[str, KnownRef]) -> None:
    """One pavement under its number and under "record-12" in one file: its rows would not meet."""
    first: dict[int, str] = {}
    for table in IN_ORDER:
        column = "ref" if table == PAVEMENTS else "pavement_ref"
        for row in records.table(table):
            if row.ref not in known:
                continue
            other = first.setdefault(known[row.ref].pavement_id, row.ref)
            if other != row.ref:
                message = f"{row.ref} and {other} are one pavement in the record."
                mend = f"Write {other} in all rows of it, once in the file of pavements."
                records.faults.add(Problem(records.file(table), row.row, column, message, mend))


def _match_pavements(
    records: Records,
    known: Mapping[str, KnownRef],
    matched: Matched,
    organisation: Organisation,
    at: datetime,
) -> None:
    rows = {known[r.ref].pavement_id: r for r in records.pavements if r.ref in known}
    for chunk in chunks(pavements_by_id(list(rows))):
        by_id = {pavement.pk: pavement for pavement in chunk}
        rights = rights_at_once(by_id, [organisation.pk], at)
        for pavement in chunk:
            row = rows[pavement.pk]
            seen = rights[pavement.pk]
            found = pavement_differences(row, pavement, bool(seen.seats) and seen.sees_criteria)
            if not _differ(records, PAVEMENTS, row.row, found):
                matched.known[PAVEMENTS] += 1


PLAIN_COLUMNS = (
    "name", "surface", "placed_on", "lon", "lat", "use", "heavy_trees", "winter_sand",
    "bare_soil_run_on",
)  # fmt: skip


def pavement_differences(
    row: PavementRow, pavement: Pavement, sees_criteria: bool
) -> Iterator[Difference]:
    """Yield where a filled cell says another thing than the record. A blank one says nothing.

    Level and run-on are compared only where the seat sees criteria: a difference tells them.
    """
    for column in PLAIN_COLUMNS:
        if _is_other(getattr(row, column), stored := getattr(pavement, column)):
            yield column, getattr(row, column), stored
    if row.site and row.site not in site_names(pavement.site):
        yield "site", row.site, pavement.site.name
    if row.area is not None and _is_other(row.area.si, pavement.area_m2):
        yield "area_m2 or area_ft2", row.area.si, pavement.area_m2
    if row.action_rate is not None and sees_criteria:
        levels = [c.action_rate_mm_h for c in pavement.criteria.all() if not c.is_void]
        if all(_is_other(row.action_rate.si, level) for level in levels):
            yield "action_rate_mm_h", row.action_rate.si, levels[-1] if levels else None
    if row.run_on_m2 and sees_criteria:
        areas = [a.area_m2 for a in pavement.run_on_areas.all() if not a.is_void and a.area_m2]
        if all(_is_other(row.run_on_m2, area) for area in (*areas, sum(areas))):
            yield "run_on_m2", row.run_on_m2, sum(areas) or None


def site_names(site: Site) -> set[str]:
    """Return the name of a site and all others it goes by, whoever uses them."""
    others = [o if isinstance(o, str) else str(o["name"]) for o in site.other_names]
    return {site.name, *others}


def _is_other(in_file: Any, in_record: Any) -> bool:
    if in_file in (None, ""):
        return False
    if isinstance(in_file, float) and isinstance(in_record, float | int):
        return not isclose(in_file, in_record, rel_tol=1e-9)
    return bool(in_file != in_record)


def _match_tests(
    records: Records, ids: Mapping[str, int], matched: Matched, hidden: Hidden
) -> None:
    known = known_tests(sorted(ids.values()), hidden.tests)
    seen: dict[tuple[str, str, date, datetime | None], list[RunRow]] = defaultdict(list)
    for row in records.tests:
        twins = seen[row.ref, row.point, row.started_on, row.started_at]
        is_named = row.ref and row.point  # a row without its place is no other row's double
        twin = next((t for t in twins if is_named and _may_be_one(t.run, row.run)), None)
        if twin is not None:
            columns, what = "pavement_ref, point, started_at, run", "pavement, point, start and run"
            _fault_double(records, TESTS, row.row, twin.row, columns, what)
            continue
        twins.append(row)
        pavement_id = ids.get(row.ref)
        same = known.get((pavement_id, row.point, row.started_on, row.started_at), [])  # type: ignore[arg-type]
        same = [there for there in same if _may_be_one(row.run, there[0])]
        told = [there for there in same if len(there) > 1]
        if same and not told and pavement_id in hidden.writers[TESTS]:
            columns, what = "pavement_ref, point, started_at", "run of this point and start"
            _fault_hidden(records, TESTS, row, columns, what)
        elif not _is_known_test(records, row, told, matched):
            matched.tests.append(row)
    _number_runs(matched.tests, known, ids)


def _may_be_one(run: int | None, other: int | None) -> bool:
    return run is None or other is None or run == other


def _fault_double(
    records: Records, table: str, row: int, first: int, columns: str, what: str
) -> None:
    records.faults.add(
        Problem(
            records.file(table),
            row,
            columns,
            f"It has the same {what} as row {first}.",
            "Delete the row that is there twice; number the runs of one start in the column run."
            if table == TESTS
            else "Delete the row that is there twice.",
        )
    )


def _fault_hidden(
    records: Records, table: str, row: RunRow | SweepRow, columns: str, what: str
) -> None:
    """Tell that something is recorded, not what it says: else each guess would be answered."""
    message = (
        f"A {what} is recorded at {row.ref} already. Your seat does not show it, so the row is "
        "neither compared with it nor stored."
    )
    mend = "Ask the owner or manager about it, or take this row out."
    if table == TESTS:
        mend += " If it is another run, give its time of day or its number in the column run."
    records.faults.add(Problem(records.file(table), row.row, columns, message, mend))


def _is_known_test(
    records: Records, row: RunRow, same: Sequence[tuple[Any, ...]], matched: Matched
) -> bool:
    """Say whether the row needs no storing: it is there already, or differs and was noted."""
    if not same:
        return False
    differences = [list(_test_differences(row, there[1:])) for there in same]
    fewest = min(differences, key=len)
    if not _differ(records, TESTS, row.row, fewest):
        matched.known[TESTS] += 1
    return True


def _test_differences(row: RunRow, there: tuple[Any, ...]) -> Iterator[Difference]:
    for name, in_record in zip(COMPARED, there, strict=True):
        in_file = getattr(row, name)
        if name == "note":
            in_file, in_record = _remarks(row, in_record)
        if name in IN_NOTES and row.note == there[-1].strip():
            continue
        if name == "system" and row.ring is None and row.water is None:
            continue
        if _is_other(in_file, in_record):
            yield COLUMNS_OF.get(name, name), in_file, in_record


def _remarks(row: RunRow, in_record: str) -> tuple[str, str]:
    """Return both notes without what stands in front of them, which is compared by itself."""
    return read_front(row.note, row.ended).rest, read_front(in_record, row.ended).rest


def _number_runs(
    rows: Sequence[RunRow], known: Mapping[Any, Sequence[Any]], ids: Mapping[str, int]
) -> None:
    """Number the runs that give none: the first, second ... at its spot on its day by the clock."""
    days: dict[tuple[Any, str, date], list[datetime | None]] = defaultdict(list)
    for (pavement_id, point, day, at), there in known.items():
        days[pavement_id, point, day] += [at] * len(there)
    for row in rows:
        days[ids.get(row.ref, row.ref), row.point, row.started_on].append(row.started_at)
    for row in rows:
        if row.run is None:
            starts = days[ids.get(row.ref, row.ref), row.point, row.started_on]
            row.run = 1 + sum(_is_before(at, row.started_at) for at in starts)


def _is_before(at: datetime | None, other: datetime | None) -> bool:
    return other is not None and (at is None or at < other)


def _match_sweeps(
    records: Records, ids: Mapping[str, int], matched: Matched, hidden: Hidden
) -> None:
    known = known_cleanings(sorted(ids.values()))
    seen: dict[tuple[Any, ...], int] = {}
    for row in records.sweeps:
        key = (row.ref, row.done_on, row.started_at, row.method, row.panels, row.note)
        if key in seen and row.ref and row.method:
            what = "pavement, time, method, panels and note"
            columns = "pavement_ref, done_at, method, panels, note"
            _fault_double(records, SWEEPS, row.row, seen[key], columns, what)
            continue
        seen[key] = row.row
        pavement_id = ids.get(row.ref)
        at_once = known.get((pavement_id, row.done_on, row.started_at), [])  # type: ignore[arg-type]
        same = [there for there in at_once if _may_be_one_sweep(row, there)]
        told = [there for there in same if there.pk not in hidden.cleanings]
        if same and not told and pavement_id in hidden.writers[SWEEPS]:
            columns, what = "pavement_ref, done_at, method", "cleaning of this time and method"
            _fault_hidden(records, SWEEPS, row, columns, what)
            continue
        if not told:
            matched.sweeps.append(row)
            continue
        differences = [list(_sweep_differences(row, there)) for there in told]
        fewest = min(differences, key=len)
        if not _differ(records, SWEEPS, row.row, fewest):
            matched.known[SWEEPS] += 1


def _may_be_one_sweep(row: SweepRow, there: Cleaning) -> bool:
    """One time, one method, and not two lists of panels: two parts swept are two cleanings."""
    parts = {text for text in (row.panels, there.rows_text) if text}
    return there.method_class == row.method and len(parts) <= 1


def _sweep_differences(row: SweepRow, there: Cleaning) -> Iterator[Difference]:
    for column, in_file, in_record in (
        ("panels", row.panels, there.rows_text),
        ("passes", row.passes, there.passes),
        ("debris_m3", row.debris_m3, there.debris_m3),
        ("note", row.note, there.note),
    ):
        if _is_other(in_file, in_record):
            yield column, in_file, in_record
