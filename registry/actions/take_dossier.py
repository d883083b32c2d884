"""Write down that a side took a file of a dossier: the other side reads who has what."""

from registry.actions.write_journal import write_line
from registry.gathering.dossier_files import sha256_of
from registry.models import Dossier, JournalLine, Person

FILES = {"pdf": "PDF", "zip": "archive"}


def take_dossier(row: Dossier, kind: str, *, by: Person | None) -> JournalLine:
    """Store who took which file, with its fingerprint; `kind` is "pdf" or "zip"."""
    return write_line(
        row,
        "taken away",
        by=by,
        organisation=row.for_organisation,
        pavement=row.callback.pavement,
        why=f"{FILES[kind]}, SHA-256 {sha256_of(row, kind)}",
    )
