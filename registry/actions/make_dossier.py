"""Put a dossier together in the background: claim it, gather, work out, draw, pack, store.

It is gathered as the person who asked sees the record at that moment, through `access` alone.
Safe to be done twice and by two workers at once: a worker claims the row, shows by `worked_at` that
it lives, and writes the end only where no other did. A worker that is killed leaves no row changed.
"""

import hashlib
import os
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from time import monotonic
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import F, Q
from django.http import Http404
from django.utils import timezone

from registry.access.dossiers import get_callback_for_dossier, seen_rows
from registry.actions.keep_photo_file import keep_photo_file
from registry.actions.print_sheet import print_sheet
from registry.actions.write_journal import write_line
from registry.dossier import Book, record_json
from registry.dossier.writing import readme_text
from registry.exchange.dossier_archive import (
    ORDERS_OF_CHECK,
    Original,
    fingerprint,
    photo_name,
    write_archive,
)
from registry.faults import DomainError
from registry.gathering.dossier_book import DAY_PARTS, DossierRows, book_of, whole_record
from registry.gathering.dossier_files import dossier_name
from registry.gathering.layouts import current_plan
from registry.gathering.outlined_shares import raveling_rows
from registry.gathering.photo_files import open_original, read_view
from registry.gathering.recurrences import recurrences_under
from registry.imaging import Kind
from registry.models import Callback, Dossier, DossierState, Photo
from registry.sheets.box import paper_named
from registry.sheets.contents import DrawnSheet, SheetMark
from registry.sheets.dossier import draw_dossier
from registry.sheets.gathered import heading_of
from registry.units import System

SILENT_AFTER = timedelta(minutes=5)
"""A dossier nobody has worked on for so long is taken to have lost its worker."""

MOST_ATTEMPTS = 3
TITLE = "CALLBACK DOSSIER"
_NO_LONGER = "Whoever asked may no longer have the dossier of this callback made."

Tell = Callable[[str, int, int], None]


class DossierStopped(DomainError):
    """A person asked for the work to stop."""


class DossierRefused(DomainError):
    """A dossier cannot be made; the message says why."""


def make_dossier(dossier_id: int) -> str:
    """Make a dossier and return its state; do nothing where it is not due."""
    row = _claim(dossier_id)
    if row is None:
        return "nothing to do"
    try:
        put_together(row, _teller(row))
    except DossierStopped:
        return _end(row, DossierState.STOPPED, why="Stopped; nothing of it was kept.")
    except (DomainError, PermissionDenied, Http404) as fault:
        why = fault.message if isinstance(fault, DomainError) else _NO_LONGER
        return _end(row, DossierState.REFUSED, why=why[:500])
    return str(DossierState.MADE)


def _claim(dossier_id: int) -> Dossier | None:
    now = timezone.now()
    lost = Q(state=DossierState.WORKING) & (
        Q(worked_at__lt=now - SILENT_AFTER) | Q(worked_at__isnull=True)
    )
    due = Q(state=DossierState.WAITING) | lost
    taken = Dossier.objects.filter(due, pk=dossier_id).update(
        state=DossierState.WORKING, worked_at=now, begun=F("begun") + 1, stage="", steps_done=0
    )
    if not taken:
        return None
    row = Dossier.objects.select_related("asked_by", "for_organisation").get(pk=dossier_id)
    if row.begun > MOST_ATTEMPTS:
        _end(row, DossierState.REFUSED, why=f"Begun {MOST_ATTEMPTS} times; never ended.")
        return None
    return row


def _teller(row: Dossier) -> Tell:
    """Write how far it is, once a second at most, and stop where that was asked."""
    last = 0.0

    def tell(stage: str, done: int, of: int) -> None:
        nonlocal last
        if monotonic() - last < 1 and 0 < done < of:
            return
        last = monotonic()
        rows = Dossier.objects.filter(pk=row.pk)
        rows.filter(state=DossierState.WORKING).update(
            stage=stage, steps_done=done, steps=of, worked_at=timezone.now()
        )
        if rows.filter(stop_asked=True).exists():
            raise DossierStopped("Stopped.")

    return tell


def put_together(row: Dossier, tell: Tell) -> None:
    """Gather, draw, pack and store. Raises DomainError in words where that cannot be."""
    tell("reading the record", 0, 1)
    callback, rows = _rows_for(row)
    originals = _originals(rows, tell)
    files = {photo: one.name for photo, one in originals.items()}
    tell("working out the figures", 0, 1)
    now = timezone.now()
    zone = ZoneInfo(callback.pavement.site.time_zone)
    prepared = f"Prepared by {row.prepared_by or 'the record'}, {now.astimezone(zone):%Y-%m-%d}"
    book = book_of(callback, rows, files, system=row.system, prepared=prepared)
    about = _about(row, callback, now)
    record = record_json(book, about)
    thumbs = _thumbs(rows, tell)
    tell("drawing the pages", 0, 1)
    drawn = _draw(row, callback, book, thumbs, hashlib.sha256(record).hexdigest(), now)
    packed = {
        "dossier.pdf": drawn.pdf,
        "record.json": record,
        "README.txt": readme_text(callback.number, callback.pavement.name, ORDERS_OF_CHECK),
    }
    tell("packing the archive", 0, 1)
    archive = _pack(packed, list(originals.values()), now, tell)
    pdf_sha256 = hashlib.sha256(drawn.pdf).hexdigest()
    keep_photo_file(dossier_name(pdf_sha256, "pdf"), drawn.pdf)
    _store(
        row,
        callback,
        drawn,
        made_at=now,
        figures=len(book.figures),
        photos=len(rows.photos),
        photos_left_out=len(rows.photos) - len(originals),
        pdf_sha256=pdf_sha256,
        pdf_bytes=len(drawn.pdf),
        archive_sha256=archive[0],
        archive_bytes=archive[1],
    )


@transaction.atomic
def _store(row: Dossier, callback: Callback, drawn: DrawnSheet, **fields: object) -> None:
    """Write that it is made, its sheet and the journal line, in one short transaction."""
    done = print_sheet(
        kind="dossier",
        draw=lambda _: drawn,
        content={"callback": callback.number, "dossier": row.pk},
        system=row.system,
        paper=row.paper,
        pavement=callback.pavement,
        by=row.asked_by,
        organisation=row.for_organisation,
        number=row.number,
    )
    _end(row, DossierState.MADE, sheet=done.row, pages=drawn.pages, **fields)
    row.refresh_from_db()
    write_line(
        row, "made", by=row.asked_by, organisation=row.for_organisation, pavement=callback.pavement
    )


def _rows_for(row: Dossier) -> tuple[Callback, DossierRows]:
    """The callback and what the asking side sees of it; all shared rows to the record's own."""
    if row.asked_by is None:
        callback = Callback.objects.get(pk=row.callback_id)
        return callback, whole_record(callback)
    callback = get_callback_for_dossier(row.asked_by, row.callback_id)
    seen = seen_rows(row.asked_by, callback)
    photos = list(seen.photos.select_related("file", "panel").in_order())
    given = {p.pk for p in photos if seen.all_originals or p.entered_for_id in seen.own}
    days = seen.days.in_order().prefetch_related(*DAY_PARTS)
    raveling = raveling_rows(callback.pavement, seen.defects, seen.observations, seen.visits)
    return callback, DossierRows(
        days=list(days),
        looks=list(seen.looks.of_plan()),
        raveling=[list(found) for found in raveling],
        cores=list(seen.cores),
        tests=list(seen.tests.in_order().select_related("spot")),
        photos=photos,
        winter=list(seen.winter.in_order()),
        notes=list(seen.notes),
        repairs=list(seen.repairs.filter(callback=callback)),
        came_back=recurrences_under(callback, seen.recurring, seen.repairs),
        original_ids=frozenset(given),
    )


def _originals(rows: DossierRows, tell: Tell) -> dict[int, Original]:
    """The originals that go in, each read once to see that it is the file that came in."""
    found: dict[int, Original] = {}
    given = [photo for photo in rows.photos if photo.pk in rows.original_ids]
    for nth, photo in enumerate(given, start=1):
        file = photo.file
        try:
            with open_original(file) as stored:
                is_whole = fingerprint(stored) == file.sha256
        except FileNotFoundError:
            is_whole = False
        if is_whole:
            suffix = Kind(file.kind).suffix
            name = photo_name(str(photo), file.sha256, suffix)
            found[photo.pk] = Original(name, file.sha256, partial(open_original, file))
        tell("holding originals to their fingerprints", nth, len(given))
    return found


def _thumbs(rows: DossierRows, tell: Tell) -> dict[str, bytes]:
    thumbs: dict[str, bytes] = {}
    for nth, photo in enumerate(rows.photos, start=1):
        if (small := _small(photo, photo.pk not in rows.original_ids)) is not None:
            thumbs[photo.number or f"photo {photo.pk}"] = small
        tell("reading small pictures", nth, len(rows.photos))
    return thumbs


def _small(photo: Photo, is_covered: bool) -> bytes | None:
    try:
        return read_view(photo, "list", is_covered=is_covered)
    except FileNotFoundError:  # not made yet, or it cannot be: the row stands without a picture
        return None


def _about(row: Dossier, callback: Callback, now: datetime) -> dict[str, str]:
    return {
        "callback": callback.number,
        "pavement": callback.pavement.name,
        "made_for": str(row.for_organisation or "whoever runs the record"),
        "made_at": now.isoformat(timespec="seconds"),
        "state": callback.get_state_display(),
    }


def _draw(
    row: Dossier,
    callback: Callback,
    book: Book,
    thumbs: dict[str, bytes],
    record_sha256: str,
    now: datetime,
) -> DrawnSheet:
    pavement = callback.pavement
    on = now.astimezone(ZoneInfo(pavement.site.time_zone)).date()
    plan = current_plan(pavement)
    side, system = row.for_organisation, System(row.system)
    heading = heading_of(TITLE, pavement, plan, system, on, side)
    mark = SheetMark(row.number, f"{settings.PUBLIC_URL}/sheets/{row.number}/")
    return draw_dossier(
        book, heading, mark, paper_named(row.paper), thumbs=thumbs, record_sha256=record_sha256
    )


def _pack(
    files: dict[str, bytes], originals: list[Original], now: datetime, tell: Tell
) -> tuple[str, int]:
    """Write the archive below the media folder under its fingerprint; answers it and the size."""
    with _passing_file() as passing:
        count = max(len(originals), 1)
        packed = partial(tell, "packing the archive")
        write_archive(passing, files, originals, made_at=now, tell=lambda n: packed(n, count))
        with passing.open("rb") as file:
            sha256 = fingerprint(file)
            os.fsync(file.fileno())
        size = passing.stat().st_size
        path = Path(default_storage.path(dossier_name(sha256, "zip")))
        path.parent.mkdir(parents=True, exist_ok=True)
        passing.replace(path)
    return sha256, size


@contextmanager
def _passing_file() -> Iterator[Path]:
    """A name beside the files, gone again where the work does not come to its end."""
    folder = Path(default_storage.path("dossiers"))
    folder.mkdir(parents=True, exist_ok=True)
    passing = folder / f".{uuid.uuid4().hex}.part"
    try:
        yield passing
    finally:
        passing.unlink(missing_ok=True)


def _end(row: Dossier, state: DossierState, **fields: object) -> str:
    """Write the end of the work, unless another worker wrote it before."""
    mine = Dossier.objects.filter(pk=row.pk, state=DossierState.WORKING)
    if not mine.update(state=state, worked_at=timezone.now(), **fields):
        raise DossierRefused("Another worker ended this dossier.")
    return str(state)
