"""Keep bytes below the media folder, whole or not at all."""

import os
import uuid
from pathlib import Path

from django.core.files.storage import default_storage


def keep_photo_file(name: str, data: bytes) -> None:
    """Write bytes under a name of `gathering.photo_files`; what lies there whole is left alone.

    Written under a passing name beside it, brought to the disk and renamed: a machine that stops
    leaves the whole file or none. It is called before the rows are stored. A file whose rows
    were rolled back lies there until it is sent again, and is then found by its fingerprint.
    """
    path = Path(default_storage.path(name))
    if path.exists() and path.stat().st_size == len(data):
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    passing = path.with_name(f".{path.name}.{uuid.uuid4().hex}.part")
    try:
        with passing.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        passing.replace(path)
    finally:
        passing.unlink(missing_ok=True)
    _bring_to_disk(path.parent)


def _bring_to_disk(folder: Path) -> None:
    """Make the new name last, too: a rename lives in the folder."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
