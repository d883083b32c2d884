"""A folder of files, sent and read as the page does it."""

from pathlib import Path

from django.core.files.uploadedfile import SimpleUploadedFile

from registry.actions.receive_spreadsheet import receive_spreadsheet
from registry.actions.work_on_import import ask_to_store, work_on_import
from registry.models import ImportBatch, Membership
from tests import factories


def batch_of(path: Path, member: Membership | None = None) -> ImportBatch:
    """Have the files of a folder taken in and read; return the batch as it then is."""
    member = member or factories.MembershipFactory(organisation__time_zone="America/New_York")
    files = [SimpleUploadedFile(p.name, p.read_bytes()) for p in sorted(path.iterdir())]
    batch = receive_spreadsheet(files, organisation=member.organisation, by=member.person)
    work_on_import(batch.pk)
    batch.refresh_from_db()
    return batch


def store(batch: ImportBatch) -> ImportBatch:
    """Have what was read stored."""
    ask_to_store(batch)
    work_on_import(batch.pk)
    batch.refresh_from_db()
    return batch
