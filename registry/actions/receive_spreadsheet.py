"""Take in an uploaded spreadsheet: keep the files, have them read, store nothing yet."""

import hashlib
import uuid
from collections.abc import Sequence

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction

from registry.actions.queue_work import queue_import
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import BatchState, ImportBatch, Organisation, Person

FOLDER = "spreadsheets"
ENDINGS = (".csv", ".xlsx")
LARGEST_BYTES = 200 * 2**20
LONGEST_NAME_BYTES = 200
"""File systems keep 255 bytes of a name, whatever the letters; some are left for the storage."""


class NotASpreadsheet(DomainError):
    """Files of another kind, too large, or two of one name."""


class AlreadyStored(DomainError):
    """The same bytes came in before."""


def receive_spreadsheet(
    files: Sequence[File], *, organisation: Organisation, by: Person, time_zone: str = ""
) -> ImportBatch:
    """Keep the files of one spreadsheet and queue their reading; return the waiting batch.

    files  CSV files that belong together, or one workbook
    """
    names = [safe_name(file) for file in files]
    if len(set(names)) < len(names):
        raise NotASpreadsheet("Two of the files have one name. Choose each once.")
    digest = digest_of_files(files)
    stored = ImportBatch.objects.filter(
        organisation=organisation, digest=digest, state=BatchState.STORED
    )
    if (before := stored.first()) is not None:
        raise AlreadyStored(
            f"The same spreadsheet came in as {before.file_name} on "
            f"{before.stored_at:%Y-%m-%d}. Nothing was changed."
        )
    folder = f"{FOLDER}/{uuid.uuid4().hex}"
    for name, file in zip(names, files, strict=True):
        default_storage.save(f"{folder}/{name}", file)
    return _add(folder, names, digest, organisation, by, time_zone)


@transaction.atomic
def _add(
    folder: str,
    names: Sequence[str],
    digest: str,
    organisation: Organisation,
    by: Person,
    time_zone: str,
) -> ImportBatch:
    batch = ImportBatch.objects.create(
        organisation=organisation,
        by=by,
        file_name=", ".join(names)[:200],
        stored_file=folder,
        digest=digest,
        time_zone=time_zone,
    )
    write_line(batch, "received", by=by, organisation=organisation)
    queue_import(batch.pk)
    return batch


def safe_name(file: File) -> str:
    """Return the bare name of an uploaded file. Raises NotASpreadsheet for other kinds."""
    name = (file.name or "").replace("\\", "/").rsplit("/", 1)[-1].lstrip(".")
    if not name.lower().endswith(ENDINGS):
        raise NotASpreadsheet(f"“{name}” is neither a .csv file nor an .xlsx workbook.")
    if len(name.encode()) > LONGEST_NAME_BYTES:
        raise NotASpreadsheet(
            f"The name “{name[:40]} …” is too long to be kept. Give it a shorter one."
        )
    if (file.size or 0) > LARGEST_BYTES:
        raise NotASpreadsheet(f"“{name}” is larger than 200 MB. Bring it in in parts.")
    return name


def digest_of_files(files: Sequence[File]) -> str:
    """Return the SHA-256 over all bytes, the same as for a folder of these files."""
    sums = []
    for file in files:
        digest = hashlib.sha256()
        for block in file.chunks():
            digest.update(block)
        file.seek(0)
        sums.append(digest.digest())
    return hashlib.sha256(b"".join(sorted(sums))).hexdigest()
