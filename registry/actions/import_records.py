"""Bring a spreadsheet into the record: all of it or nothing, and never the same one twice."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.db import transaction
from django.utils import timezone

from registry.actions.judge_tests import judge_tests
from registry.actions.queue_work import queue_outlooks, queue_standings
from registry.actions.refresh_outlooks import refresh_outlooks_of
from registry.actions.store_defect_rows import store_defect_rows
from registry.exchange.columns import DEFECTS, PAVEMENTS, SWEEPS, TESTS
from registry.exchange.preparing import Prepared, is_unchanged, prepare
from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.sources import Source, find_source
from registry.faults import DomainError
from registry.models import (
    BatchState,
    CleanedPanel,
    ImportBatch,
    JournalLine,
    Organisation,
    Person,
    Spot,
)

TRIES = 5
WORDS = {
    PAVEMENTS: "pavement",
    TESTS: "infiltration test",
    SWEEPS: "cleaning",
    DEFECTS: "defect row",
}


class RecordKeepsChanging(DomainError):
    """Others wrote into the same pavements each time the spreadsheet was about to be stored."""


class UnknownTimeZone(DomainError):
    """The local time asked for is none."""


@dataclass(frozen=True)
class Outcome:
    """What became of a spreadsheet. `was_in_before`: the same bytes are stored already."""

    batch: ImportBatch
    prepared: Prepared | None
    was_in_before: bool = False


def import_records(
    path: Path,
    *,
    organisation: Organisation,
    by: Person | None = None,
    dry_run: bool = False,
    time_zone: str = "",
    progress: Callable[[int], None] = lambda rows: None,
) -> Outcome:
    """Store what a path holds for an organisation; with `dry_run` only say what would be stored.

    Raises SpreadsheetRefused, with every fault, and then nothing is stored.
    """
    source = find_source(path)
    batch = ImportBatch(
        organisation=organisation,
        by=by,
        file_name=source.name[:200],
        digest=source.digest,
        time_zone=time_zone,
    )
    if (before := stored_before(batch)) is not None:
        return Outcome(before, None, was_in_before=True)
    prepared = prepare_sound(source, batch, progress)
    if dry_run:
        fill_in(batch, prepared)
        return Outcome(batch, prepared)
    return store(source, batch, prepared, progress)


def stored_before(batch: ImportBatch) -> ImportBatch | None:
    """Return the batch in which the same bytes came in for the same organisation."""
    stored = ImportBatch.objects.filter(
        organisation=batch.organisation, digest=batch.digest, state=BatchState.STORED
    )
    return stored.exclude(pk=batch.pk).first()


def prepare_sound(source: Source, batch: ImportBatch, progress: Callable[[int], None]) -> Prepared:
    """Return what would be stored. Raises SpreadsheetRefused where there is any fault."""
    prepared = prepare(source, batch, now=timezone.now(), progress=progress)
    if not prepared.is_sound:
        faults = prepared.records.faults
        raise SpreadsheetRefused(faults.listed, faults.count)
    return prepared


def store(
    source: Source, batch: ImportBatch, prepared: Prepared, progress: Callable[[int], None]
) -> Outcome:
    """Store what was prepared, in one transaction; prepare again where the record moved on."""
    for _ in range(TRIES):
        with transaction.atomic():
            Organisation.objects.select_for_update().get(pk=batch.organisation_id)
            if (before := stored_before(batch)) is not None:
                return Outcome(before, None, was_in_before=True)
            if is_unchanged(prepared, batch):
                _store(batch, prepared)
                return Outcome(batch, prepared)
        prepared = prepare_sound(source, batch, progress)
    raise RecordKeepsChanging(
        "Others keep writing into the same pavements. Bring the spreadsheet in once more later."
    )


def fill_in(batch: ImportBatch, prepared: Prepared) -> None:
    """Write into a batch (unsaved) what was found in its spreadsheet."""
    records = prepared.records
    batch.state = BatchState.CHECKED if prepared.is_sound else BatchState.REFUSED
    batch.rows_read = batch.rows_total = records.rows
    batch.counts, batch.known, batch.notes = prepared.counts, prepared.known, prepared.notes
    batch.faults, batch.fault_count = records.faults.as_json(), records.faults.count
    batch.doubts, batch.doubt_count = records.doubts.as_json(), records.doubts.count
    batch.worked_at = timezone.now()


def _store(batch: ImportBatch, prepared: Prepared) -> None:
    fill_in(batch, prepared)
    now = timezone.now()
    batch.state, batch.stored_at, batch.store_asked = BatchState.STORED, now, False
    batch.save()
    keys = _store_pavements(batch, prepared)
    _store_readings(batch, prepared, keys)
    by_ref = _keys_by_ref(prepared, keys)
    store_defect_rows(batch, prepared.defects, by_ref)
    touched = _write_journal(batch, prepared, keys, by_ref, now)
    judge_tests(prepared.ready.to_judge_again)
    refresh_outlooks_of(touched, as_of=now.date())
    queue_standings(touched)
    queue_outlooks(batch.organisation_id)


def _keys_by_ref(prepared: Prepared, keys: dict[int, int]) -> dict[str, int]:
    """Return the key of each pavement of which the file of defects speaks, by its ref."""
    new = {item.number.number: item.pavement.pk for item in prepared.pavements}
    return {
        thread.ref: new[thread.ref] if thread.ref in new else prepared.refs[thread.ref]
        for thread in prepared.defects
    }


def _store_pavements(batch: ImportBatch, prepared: Prepared) -> dict[int, int]:
    """Store new pavements; return their keys by the ones below zero they had so far."""
    new = prepared.pavements
    sites = {id(item.site): item.site for item in new if item.site.pk is None}
    stages = (
        list(sites.values()),
        [item.pavement for item in new],
        [item.number for item in new],
        [item.seat for item in new],
        [item.criteria for item in new if item.criteria is not None],
        [item.run_on for item in new if item.run_on is not None],
    )
    for rows in stages:
        for row in rows:
            _point_to_stored(row, batch)
        if rows:
            type(rows[0])._default_manager.bulk_create(rows, batch_size=1000)  # type: ignore[arg-type]
    return {-place: item.pavement.pk for place, item in enumerate(new, start=1)}


def _point_to_stored(row: object, batch: ImportBatch) -> None:
    """Give an unsaved row the keys of what was stored before it."""
    for name in ("site", "pavement"):
        above = getattr(row, name, None)
        if above is not None:
            setattr(row, name, above)
    if hasattr(row, "import_batch_id"):
        row.import_batch_id = batch.pk


def _store_readings(batch: ImportBatch, prepared: Prepared, keys: dict[int, int]) -> None:
    judge, ready = prepared.judge, prepared.ready
    if judge is None:
        return
    for rows, packed in (
        (judge.spots.rows, judge.spots.new),
        (judge.sweeps, ready.sweeps),
    ):
        pavement, came_in = rows.place["pavement_id"], rows.place["import_batch_id"]
        for row in packed:
            row[pavement] = keys.get(row[pavement], row[pavement])
            row[came_in] = batch.pk
        rows.store(packed)
    spots = _spot_keys(batch, prepared, keys)
    place = judge.tests.place
    pavement, spot, came_in = place["pavement_id"], place["spot_id"], place["import_batch_id"]
    for row in ready.tests:
        row[pavement] = keys.get(row[pavement], row[pavement])
        row[spot] = spots.get(row[spot], row[spot])
        row[came_in] = batch.pk
    judge.tests.store(ready.tests)
    for cleaning, panels in ready.listed_sweeps:
        cleaning.import_batch_id = batch.pk
        cleaning.save(force_insert=True)
        CleanedPanel.objects.bulk_create(
            [CleanedPanel(cleaning=cleaning, panel_id=panel) for panel in panels]
        )


def _spot_keys(batch: ImportBatch, prepared: Prepared, keys: dict[int, int]) -> dict[int, int]:
    if prepared.judge is None:
        return {}
    stored = Spot.objects.filter(import_batch=batch).values_list("pavement_id", "name", "pk")
    by_name = {(pavement, name): pk for pavement, name, pk in stored.iterator(chunk_size=2000)}
    return {
        key: by_name[keys.get(pavement, pavement), name]
        for key, pavement, name in prepared.judge.spots.keys
    }


def _write_journal(
    batch: ImportBatch,
    prepared: Prepared,
    keys: dict[int, int],
    by_ref: dict[str, int],
    now: datetime,
) -> list[int]:
    """Write one line for each pavement into which rows came; return the pavements."""
    came: dict[int, dict[str, int]] = {pk: {PAVEMENTS: 1} for pk in keys.values()}
    ready, judge = prepared.ready, prepared.judge
    if judge is not None:
        for table, packed, place in (
            (TESTS, ready.tests, judge.tests.place["pavement_id"]),
            (SWEEPS, ready.sweeps, judge.sweeps.place["pavement_id"]),
        ):
            for row in packed:
                there = came.setdefault(row[place], {})
                there[table] = there.get(table, 0) + 1
    for cleaning, _ in ready.listed_sweeps:
        there = came.setdefault(cleaning.pavement_id, {})
        there[SWEEPS] = there.get(SWEEPS, 0) + 1
    for thread in prepared.defects:
        there = came.setdefault(by_ref[thread.ref], {})
        there[DEFECTS] = there.get(DEFECTS, 0) + len(thread.steps)
    lines = [
        JournalLine(
            pavement_id=pk,
            subject_kind="importbatch",
            subject_id=batch.pk,
            subject_name=batch.file_name[:160],
            verb="brought in",
            why=", ".join(told(number, table) for table, number in there.items()),
            by=batch.by,
            by_organisation=batch.organisation,
            at=now,
        )
        for pk, there in came.items()
    ]
    JournalLine.objects.bulk_create(lines, batch_size=1000)
    return list(came)


def told(number: int, table: str) -> str:
    """Return a count in words: "1 pavement", "12 infiltration tests"."""
    return f"{number} {WORDS[table]}{'' if number == 1 else 's'}"
