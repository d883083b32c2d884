"""The machine-readable copy of a dossier: one ZIP with record, originals, PDF, manifest, check.

Originals are read and written bit by bit: 200 photos of 12 megapixels take no more memory than
one. The check that goes in is `recheck.py` beside this module; nothing here is used by it.
"""

import hashlib
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from registry.dossier import manifest_text

SCRIPTS = ("recheck.py", "recheck_files.py", "recheck_formulas.py")
ORDERS_OF_CHECK = 5000
BLOCK = 1 << 20
_HERE = Path(__file__).parent

Open = Callable[[], BinaryIO]


@dataclass(frozen=True)
class Original:
    """An original that goes in: its name in the archive, its fingerprint, and how it is read."""

    name: str
    sha256: str
    open: Open


def photo_name(number: str, sha256: str, suffix: str) -> str:
    """The name of an original in the archive: plain letters, told apart by its fingerprint."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", number).strip(".-") or "photo"
    return f"photos/{plain[:40]}-{sha256[:8]}{suffix}"


def fingerprint(file: BinaryIO) -> str:
    """SHA-256 of a file, read bit by bit."""
    digest = hashlib.sha256()
    for block in blocks(file):
        digest.update(block)
    return digest.hexdigest()


def blocks(file: BinaryIO) -> Iterator[bytes]:
    """The bytes of a file, a piece at a time."""
    while block := file.read(BLOCK):
        yield block


def write_archive(
    path: Path,
    files: Mapping[str, bytes],
    originals: list[Original],
    *,
    made_at: datetime,
    tell: Callable[[int], None],
) -> None:
    """Write the ZIP. `tell` is given how many originals are in; what it raises ends the writing.

    Raises ValueError where an original is not what its fingerprint says.
    """
    whole = dict(files) | {name: (_HERE / name).read_bytes() for name in SCRIPTS}
    listed = [(name, hashlib.sha256(data).hexdigest()) for name, data in whole.items()]
    listed += [(one.name, one.sha256) for one in originals]
    whole["MANIFEST"] = manifest_text(listed)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in whole.items():
            archive.writestr(_entry(name, made_at), data, zipfile.ZIP_DEFLATED)
        for nth, one in enumerate(originals, start=1):
            _put_original(archive, one, made_at)
            tell(nth)


def _put_original(archive: zipfile.ZipFile, one: Original, made_at: datetime) -> None:
    """Stored as it is: photos do not get smaller by packing."""
    entry, digest = _entry(one.name, made_at), hashlib.sha256()
    entry.compress_type = zipfile.ZIP_STORED
    with one.open() as source, archive.open(entry, "w", force_zip64=True) as target:
        for block in blocks(source):
            digest.update(block)
            target.write(block)
    if digest.hexdigest() != one.sha256:
        raise ValueError(f"{one.name} is not the file it was when it came in.")


def _entry(name: str, made_at: datetime) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, made_at.timetuple()[:6])
    entry.external_attr = 0o644 << 16
    return entry
