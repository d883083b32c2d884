"""Where the files of dossiers lie below the media folder, and how they are read back.

    dossiers/ab/<sha256>.pdf    the dossier
    dossiers/ab/<sha256>.zip    its machine-readable copy

No page ever names these paths: bytes leave only through `registry.views.dossier_file`.
"""

from typing import BinaryIO

from django.core.files.storage import default_storage

from registry.models import Dossier

SUFFIXES = {"pdf": "application/pdf", "zip": "application/zip"}


def dossier_name(sha256: str, kind: str) -> str:
    """Return the name of a file in storage; `kind` is "pdf" or "zip"."""
    return f"dossiers/{sha256[:2]}/{sha256}.{kind}"


def sha256_of(row: Dossier, kind: str) -> str:
    """Return the fingerprint of a file of a dossier."""
    return row.pdf_sha256 if kind == "pdf" else row.archive_sha256


def open_dossier(row: Dossier, kind: str) -> BinaryIO:
    """Open a file of a dossier. FileNotFoundError where the media folder lost it."""
    return default_storage.open(dossier_name(sha256_of(row, kind), kind))  # type: ignore[return-value]
