"""Work on an uploaded spreadsheet in the background: read it first, store it when asked to.

Safe to be done twice, and by two workers at once: a worker claims the batch, shows by `worked_at`
that it lives, and stores in one transaction.
"""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone

from registry.actions.import_records import Outcome, fill_in, prepare_sound, store, stored_before
from registry.actions.queue_work import queue_import
from registry.exchange.preparing import prepare
from registry.exchange.problems import LISTED, Problem, SpreadsheetRefused
from registry.exchange.sources import Source, find_source
from registry.faults import DomainError
from registry.models import BatchState, ImportBatch
from registry.models.import_batch import SILENT_AFTER

MOST_ATTEMPTS = 3
"""A batch whose worker never came to its end so often is the likely reason for it."""

TIME_LIMIT_S = 600.0
TELLS_EVERY_S = 0.5
AFTER_GIVING_UP = (
    "Bring it in in parts, or ask who runs the server why; the same files can be sent once more."
)
OPEN_STATES = (BatchState.WAITING, BatchState.READING)


class Stopped(DomainError):
    """Somebody asked to stop."""


class GivenUp(DomainError):
    """Begun so often, and never ended, that it is not begun again."""


class TookTooLong(DomainError):
    """More than the time limit of a job."""


def work_on_import(batch_id: int) -> None:
    """Read the batch, or store it where that was asked for; do nothing where neither is due."""
    batch = _claim(batch_id)
    if batch is None:
        return
    watch = Watch(batch)
    try:
        _check_whether_to_begin(batch)
        with _files_of(batch) as folder:
            source = _source(folder, batch)
            if batch.store_asked:
                _store(source, batch, watch)
            else:
                _read(source, batch, watch)
    except Stopped:
        _finish(batch, state=BatchState.STOPPED)
    except SpreadsheetRefused as refused:
        faults = [problem.as_json() for problem in refused.problems[:LISTED]]
        _finish(batch, state=BatchState.REFUSED, faults=faults, fault_count=refused.count)
    except DomainError as fault:
        mend = AFTER_GIVING_UP if isinstance(fault, GivenUp) else ""
        problem = Problem(batch.file_name, None, "", fault.message, mend)
        _finish(batch, state=BatchState.REFUSED, faults=[problem.as_json()], fault_count=1)


def _check_whether_to_begin(batch: ImportBatch) -> None:
    """Raise where a person said stop while its worker was away, or no worker ever came through."""
    if batch.stop_asked:
        raise Stopped("Stopped before anything was stored.")
    if batch.begun > MOST_ATTEMPTS:
        raise GivenUp(
            f"It was begun {MOST_ATTEMPTS} times, and each time its worker was stopped before the "
            "end. Nothing of it is stored."
        )


def _claim(batch_id: int) -> ImportBatch | None:
    """Take the batch on, unless somebody else is at it or nothing is to be done."""
    now = timezone.now()
    due = Q(state=BatchState.WAITING) | Q(state=BatchState.CHECKED, store_asked=True)
    lost = Q(state=BatchState.READING, worked_at__lt=now - SILENT_AFTER)
    taken = ImportBatch.objects.filter(due | lost, pk=batch_id).update(
        state=BatchState.READING, worked_at=now, rows_read=0, begun=F("begun") + 1
    )
    if not taken:
        return None
    return ImportBatch.objects.select_related("organisation", "by").get(pk=batch_id)


class Watch:
    """Tells how far the work is, and stops it when asked to or when it takes too long."""

    def __init__(self, batch: ImportBatch) -> None:
        self.batch = batch
        self.begun = self.told = monotonic()

    def __call__(self, rows: int) -> None:
        """Take the number of rows done."""
        now = monotonic()
        if now - self.begun > TIME_LIMIT_S:
            raise TookTooLong("It takes longer than 10 minutes. Bring it in in parts.")
        if now - self.told < TELLS_EVERY_S:
            return
        self.told = now
        alive = ImportBatch.objects.filter(pk=self.batch.pk, stop_asked=False)
        if not alive.update(rows_read=rows, worked_at=timezone.now()):
            raise Stopped("Stopped before anything was stored.")


@contextmanager
def _files_of(batch: ImportBatch) -> Iterator[Path]:
    """Give the kept files as files on this machine, wherever they are kept."""
    with tempfile.TemporaryDirectory(prefix="spreadsheet-") as folder:
        _, names = default_storage.listdir(batch.stored_file)
        for name in names:
            kept = default_storage.open(f"{batch.stored_file}/{name}")
            with kept, (Path(folder) / name).open("wb") as copy:
                shutil.copyfileobj(kept, copy)
        yield Path(folder)


def _source(folder: Path, batch: ImportBatch) -> Source:
    found = find_source(folder)
    return Source(batch.file_name, found.files, batch.digest, found.notes)


def _read(source: Source, batch: ImportBatch, watch: Watch) -> None:
    prepared = prepare(source, batch, now=timezone.now(), progress=watch)
    fill_in(batch, prepared)
    batch.save(update_fields=FOUND)


def _store(source: Source, batch: ImportBatch, watch: Watch) -> None:
    if (before := stored_before(batch)) is not None:
        outcome = Outcome(before, None, was_in_before=True)
    else:
        outcome = store(source, batch, prepare_sound(source, batch, watch), watch)
    if outcome.was_in_before:
        note = f"The same came in as {outcome.batch.file_name}. Nothing was changed."
        _finish(batch, state=BatchState.STOPPED, notes=[note])


FOUND = (
    "state", "rows_read", "rows_total", "counts", "known", "notes", "faults", "fault_count",
    "doubts", "doubt_count", "worked_at",
)  # fmt: skip


def _finish(batch: ImportBatch, **fields: object) -> None:
    ImportBatch.objects.filter(pk=batch.pk).update(
        worked_at=timezone.now(), store_asked=False, **fields
    )


class CannotBeStored(DomainError):
    """It is not read yet, or cannot be stored as it is."""


@transaction.atomic
def ask_to_store(batch: ImportBatch) -> None:
    """Have a spreadsheet stored that was read without a fault."""
    asked = ImportBatch.objects.filter(
        pk=batch.pk, state=BatchState.CHECKED, fault_count=0, store_asked=False
    ).update(store_asked=True, stop_asked=False, begun=0, worked_at=timezone.now())
    if not asked:
        raise CannotBeStored("This spreadsheet is not waiting to be stored. Look at it once more.")
    queue_import(batch.pk)
