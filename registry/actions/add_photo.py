"""Add a photo: the bytes once under their fingerprint, what stands in them, and what it is of."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.keep_photo_file import keep_photo_file
from registry.actions.queue_work import queue_photo_copy, queue_photo_sizes
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.photo_files import original_name
from registry.gathering.photo_stamps import day_taken, stored_stamps, what_position_says
from registry.imaging import Accepted, Stamps, accept, read_stamps
from registry.models import Organisation, Person, Photo, PhotoFile

LONGEST_NAME = 200
THINGS = ("defect", "observation", "visit", "infiltration_test", "panel")
"""What a photo may be of, beside its pavement."""


class CannotAddPhoto(DomainError):
    """The thing it is said to show is of another pavement."""


@dataclass(frozen=True)
class Added:
    """The photo on record; `is_new` false where the same file was on the same thing already."""

    photo: Photo
    is_new: bool


def add_photo(
    row: Photo, data: bytes, *, name: str, by: Person | None, organisation: Organisation | None
) -> Added:
    """Keep a photo of a pavement and of what `row` says it shows, and queue its sizes.

    row   unsaved, with pavement, subject and what else a person said; the stamps are read here
    data  the file as it came, kept untouched
    name  what the sender called it

    Raises PhotoRefused in the sender's words where the file is no photo that can be kept.
    """
    accepted, stamps = accept(data), read_stamps(data)
    refuse_strangers(row)
    # First the file, then the rows: a row without its file would be a photo that is not there.
    keep_photo_file(original_name(accepted.sha256, accepted.kind), data)
    row.file_name = "".join(sign for sign in name if sign.isprintable())[-LONGEST_NAME:]
    return _store(row, accepted, stamps, by, organisation)


@transaction.atomic
def _store(
    row: Photo,
    accepted: Accepted,
    stamps: Stamps,
    by: Person | None,
    organisation: Organisation | None,
) -> Added:
    file = _file(accepted, stamps)
    if (there := _same(row, file, organisation)) is not None:
        return Added(there, is_new=False)
    row.file = file
    row.entered_by, row.entered_for, row.entered_at = by, organisation, timezone.now()
    _take_stamps(row, stamps, organisation)
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    write_line(row, "added", by=by, organisation=organisation)
    if file.sizes_state == "waiting":
        queue_photo_sizes(file.pk)
    queue_photo_copy(row.pk)
    return Added(row, is_new=True)


def _file(accepted: Accepted, stamps: Stamps) -> PhotoFile:
    """Return the one row of these bytes, locked: of two who send them at once, one waits."""
    PhotoFile.objects.get_or_create(
        sha256=accepted.sha256,
        defaults={
            "kind": accepted.kind.value,
            "bytes_long": accepted.bytes_long,
            "width_px": accepted.width_px,
            "height_px": accepted.height_px,
            "frames": accepted.frames,
            "stamps": stored_stamps(stamps),
        },
    )
    return PhotoFile.objects.select_for_update().get(sha256=accepted.sha256)


def _same(row: Photo, file: PhotoFile, organisation: Organisation | None) -> Photo | None:
    things: dict[str, Any] = {f"{name}_id": getattr(row, f"{name}_id") for name in THINGS}
    rows = Photo.objects.standing().filter(
        file=file, pavement=row.pavement, entered_for=organisation, **things
    )
    return rows.order_by("pk").first()


def _take_stamps(row: Photo, stamps: Stamps, organisation: Organisation | None) -> None:
    assert row.pavement is not None
    row.site = row.pavement.site
    row.camera_time = (stamps.camera_time or "")[:40]
    row.taken_on = day_taken(stamps.camera_time, stamps.camera_offset, row.site.time_zone)
    row.device = " ".join(part for part in (stamps.make, stamps.model) if part)[:120]
    if stamps.facing is not None:
        row.facing_degrees = stamps.facing.degrees
    if stamps.position is not None:
        row.longitude, row.latitude = stamps.position.lon, stamps.position.lat
        row.position_error_m = stamps.position.error_m
    if organisation is not None:
        row.position_says = what_position_says(row, stamps.position, organisation)[:240]


def refuse_strangers(row: Photo) -> None:
    """Raise CannotAddPhoto where what the photo is said to show is of another pavement."""
    if row.pavement is None:
        raise CannotAddPhoto("Say which pavement the photo is of.")
    for name in THINGS:
        thing = getattr(row, name)
        whole = thing.defect if name == "observation" and thing is not None else thing
        if whole is not None and whole.pavement_id != row.pavement_id:
            raise CannotAddPhoto(f"{thing} is not on this pavement.")
