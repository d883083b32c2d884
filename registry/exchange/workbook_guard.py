"""Whether a workbook may be opened at all: looked at from outside, before it is unpacked.

Dangers: an archive of some kilobytes that unpacks to gigabytes, sizes in its directory that lie,
macros, passwords, formulas whose stored value nobody can trust, and a single cell far out that
makes a reader set aside room for billions.
"""

import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, NoReturn

from registry.exchange.problems import refuse
from registry.exchange.workbook_cells import SheetLook, Styles, look_at, styles_of

LARGEST_BYTES = 200 * 2**20
MOST_PARTS = 5000
BLOCK = 2**18
LOCAL_HEADER = 30
STYLES = "xl/styles.xml"

_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml", re.IGNORECASE)
_CODING = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*<(?:\?xml(?:[^>]*\sencoding\s*=\s*[\"']([^\"'>]*))?|[A-Za-z_!])"
)


def check_workbook(path: Path, file: str) -> dict[str, SheetLook]:
    """Return what there is to say of each sheet, by the name of its part of the archive.

    Raises SpreadsheetRefused for a workbook that may not be opened.
    """
    _check_kind(path, file)
    try:
        with zipfile.ZipFile(path) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as fault:
        refuse(file, f"The workbook is damaged ({fault}).", "Save it once more as .xlsx.")
    _check_parts(parts, file)
    looks: dict[str, SheetLook] = {}
    styles = Styles()
    left = LARGEST_BYTES
    with path.open("rb") as stream:
        for part in sorted(parts, key=_styles_first):
            is_sheet = _SHEET.fullmatch(part.filename) is not None
            is_kept = is_sheet or part.filename == STYLES
            is_begun, blocks = False, []
            for block in filter(None, _inflate(stream, part, file)):
                left -= len(block)
                if left < 0:
                    _refuse_size(file)
                if not is_begun and part.filename.lower().endswith((".xml", ".rels")):
                    _check_coding(block, file)
                is_begun = True
                if is_kept:
                    blocks.append(block)
            if is_sheet:
                looks[part.filename] = _look_at_sheet(b"".join(blocks), styles, file)
            elif is_kept:
                styles = styles_of(b"".join(blocks))
    return looks


def _styles_first(part: zipfile.ZipInfo) -> bool:
    return part.filename != STYLES


def _check_kind(path: Path, file: str) -> None:
    size = path.stat().st_size
    if size == 0:
        refuse(file, "The file is empty.", "Save the workbook once more.")
    with path.open("rb") as stream:
        start = stream.read(8)
        if start.startswith(b"\xd0\xcf\x11\xe0"):
            stream.seek(0)
            if "EncryptedPackage".encode("utf-16-le") in stream.read(4 * 2**20):
                refuse(
                    file,
                    "The workbook is protected by a password.",
                    "Save it without the password.",
                )
            refuse(file, "This is a workbook of the old kind (.xls).", "Save it as .xlsx.")
    if not start.startswith(b"PK"):
        refuse(file, "This is not an .xlsx workbook.", "Save it as .xlsx, or as “CSV UTF-8”.")


def _check_parts(parts: list[zipfile.ZipInfo], file: str) -> None:
    names = [part.filename for part in parts]
    if len(names) > MOST_PARTS or sum(part.file_size for part in parts) > LARGEST_BYTES:
        _refuse_size(file)
    if len(set(names)) < len(names):
        refuse(file, "The workbook holds two parts of one name.", "Save it once more as .xlsx.")
    if any(part.flag_bits & 0x1 for part in parts):
        _refuse_password(file)
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        refuse(file, "The workbook holds macros (.xlsm).", "Save it as .xlsx without macros.")
    if "xl/workbook.xml" not in names:
        refuse(file, "This is not an .xlsx workbook.", "Save it as .xlsx, or as “CSV UTF-8”.")


def _refuse_password(file: str) -> NoReturn:
    refuse(file, "The workbook is protected by a password.", "Save it without the password.")


def _refuse_size(file: str) -> NoReturn:
    refuse(
        file,
        "The workbook would unpack to more than 200 MB; it was not unpacked.",
        "Bring it in in parts, or as CSV.",
    )


def _inflate(stream: BinaryIO, part: zipfile.ZipInfo, file: str) -> Iterator[bytes]:
    """Yield what a part really unpacks to, whatever the directory says of it."""
    stream.seek(part.header_offset)
    header = stream.read(LOCAL_HEADER)
    if len(header) < LOCAL_HEADER or header[:4] != b"PK\x03\x04":
        refuse(file, "The workbook is damaged.", "Save it once more as .xlsx.")
    name_length, extra_length = struct.unpack("<HH", header[26:30])
    stream.seek(name_length + extra_length, 1)
    if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        refuse(file, "The workbook is packed in an unusual way.", "Save it once more as .xlsx.")
    unpack = zlib.decompressobj(-15) if part.compress_type == zipfile.ZIP_DEFLATED else None
    left = part.compress_size
    while left > 0 and (block := stream.read(min(BLOCK, left))):
        left -= len(block)
        if unpack is None:
            yield block
            continue
        try:
            while block:
                yield unpack.decompress(block, BLOCK)
                block = unpack.unconsumed_tail
        except zlib.error as fault:
            refuse(file, f"The workbook is damaged ({fault}).", "Save it once more as .xlsx.")


def _check_coding(start: bytes, file: str) -> None:
    """Refuse XML in another coding than UTF-8: nothing could be looked for in its bytes."""
    told = _CODING.match(start)
    if told is None or (told[1] or b"utf-8").lower() not in (b"utf-8", b"us-ascii"):
        _refuse_way(file)


def _refuse_way(file: str) -> NoReturn:
    refuse(file, "The workbook is built in an unusual way.", "Save it once more as .xlsx.")


def _look_at_sheet(xml: bytes, styles: Styles, file: str) -> SheetLook:
    if b"<!DOCTYPE" in xml[:4096] or b"<!ENTITY" in xml:
        _refuse_way(file)
    return look_at(xml, styles, file)
