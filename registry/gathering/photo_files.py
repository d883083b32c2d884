"""Where the bytes of photos lie below the media folder, and how they are read back.

    photos/ab/<sha256>.jpg          the original, as it came (.png, .heic)
    photos/ab/<sha256>.list.jpg     for lists, without any tag
    photos/ab/<sha256>.page.jpg     for pages, without any tag
    photos/ab/<sha256>.copy.jpg     to hand out, without any tag; -<8 figures> with covers

No page ever names these paths: bytes leave only through `registry.views.photo_file`.
"""

import hashlib
import json
from typing import BinaryIO

from django.core.files.storage import default_storage

from registry.imaging import Kind, covered, read_covers
from registry.imaging.sizes import LIST_BYTES, PAGE_BYTES
from registry.models import Photo, PhotoFile

FOLDER = "photos"
MOST_BYTES = {"list": LIST_BYTES, "page": PAGE_BYTES}
COPY = "copy"


def original_name(sha256: str, kind: str) -> str:
    """Return the name of an original in storage."""
    return f"{_start(sha256)}{Kind(kind).suffix}"


def size_name(sha256: str, size: str) -> str:
    """Return the name of a size for view, "list" or "page"."""
    return f"{_start(sha256)}.{size}.jpg"


def copy_name(photo: Photo) -> str:
    """Return the name of the copy to hand out, which its covers are part of."""
    mark = f"-{covers_mark(photo)}" if photo.covers else ""
    return f"{_start(photo.file.sha256)}.copy{mark}.jpg"


def covers_mark(photo: Photo) -> str:
    """Return eight figures that stand for the covers of a photo."""
    return hashlib.sha256(json.dumps(photo.covers).encode()).hexdigest()[:8]


def has_copy(photo: Photo) -> bool:
    """Say whether the copy to hand out was made."""
    return bool(default_storage.exists(copy_name(photo)))


def read_original(file: PhotoFile) -> bytes:
    """Return the bytes as they came. FileNotFoundError where the media folder lost them."""
    return read_file(original_name(file.sha256, file.kind))


def open_original(file: PhotoFile) -> BinaryIO:
    """Open the bytes as they came, to be sent bit by bit."""
    return default_storage.open(original_name(file.sha256, file.kind))  # type: ignore[return-value]


def read_view(photo: Photo, size: str, *, is_covered: bool) -> bytes:
    """Return a size for view, "list", "page" or "copy", its covers filled where asked.

    A copy is covered always. FileNotFoundError where the worker has not made it yet.
    """
    if size == COPY:
        return read_file(copy_name(photo))
    data = read_file(size_name(photo.file.sha256, size))
    if not (is_covered and photo.covers):
        return data
    return covered(data, read_covers(photo.covers), MOST_BYTES[size]).data


def read_file(name: str) -> bytes:
    """Return what is stored under a name of this module."""
    with default_storage.open(name) as stored:
        return bytes(stored.read())


def _start(sha256: str) -> str:
    return f"{FOLDER}/{sha256[:2]}/{sha256}"
