"""Whether a file has arrived whole: found by its structure, without a picture in memory.

JPEG: ISO/IEC 10918-1 annex B (markers). PNG: ISO/IEC 15948 clause 5 (chunks). HEIC: ISO/IEC
14496-12 4.2 (boxes).
"""

import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from registry.imaging.faults import PhotoRefused
from registry.imaging.kinds import Kind

CUT_SHORT = (
    "The photo did not arrive whole: its end is missing or damaged. Send it again from the device "
    "that took it."
)
STUFFED = (
    "The photo is stuffed with empty pieces, as no camera or phone does it. Send it as the camera "
    "stored it."
)
# A camera writes one scan, a progressive file about ten. Hundreds only serve to keep a machine
# busy for minutes.
MOST_SCANS = 100
# A segment holds 64 KB, so that 60 MB of a camera's are a thousand. A decoder steps through the
# fill bytes one by one and keeps each segment: 14 million of nothing took 2 GB and a minute.
MOST_SEGMENTS, MOST_FILL_BYTES = 10_000, 100_000
# Programs write the pixels of a PNG in pieces of 8 to 64 KB, so that 60 MB are 7 500 at the most.
# Five million empty ones kept a machine busy for 20 seconds.
MOST_CHUNKS = 100_000
BITE = 1 << 14  # swells to 17 MB at the most: deflate packs 1032 to 1 at its best

_STANDALONE = {0x01, *range(0xD0, 0xD9)}  # markers without a segment
_END, _SCAN = 0xD9, 0xDA
# Table B.1
_PROGRESSIVE, _ROW_AFTER_ROW = 0xC2, frozenset({0xC0, 0xC1, 0xC9})
_ARITHMETIC = frozenset({0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF})
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}


def check_whole(data: bytes, kind: Kind) -> None:
    """Raise PhotoRefused where the file is cut short, damaged in its structure, or moves."""
    {Kind.JPEG: _walk_jpeg, Kind.PNG: _walk_png, Kind.HEIC: _walk_heic}[kind](data)


def check_pieces(data: bytes, kind: Kind) -> None:
    """Raise PhotoRefused where a JPEG or PNG is stuffed, before a decoder steps through it.

    What else is wrong with it the decoder tells.
    """
    try:
        if kind is Kind.JPEG:
            _to_first_scan(data)
        elif kind is Kind.PNG:
            for _ in png_chunks(data, checked=False):
                pass
    except PhotoRefused as fault:
        if fault.message == STUFFED:
            raise


def _walk_jpeg(data: bytes) -> None:
    """Segment by segment to the first scan, then to the end of the picture.

    Within a scan every FF of the pixels is followed by 00, so that FF D9 is the end (B.1.1.5).
    What follows the end (a second view, a short film, a depth map that phones hang on) is kept
    with the original and never read.
    """
    at, frame, _ = _to_first_scan(data)
    end = data.find(b"\xff\xd9", at)
    if end < 0:
        raise PhotoRefused(CUT_SHORT)
    if 1 + data.count(b"\xff\xda", at, end) > MOST_SCANS:
        raise PhotoRefused(
            f"The photo is written in more than {MOST_SCANS} passes, as no camera does it. "
            "Send it as the camera stored it."
        )
    if frame == _PROGRESSIVE:
        _refuse_missing_passes(data, end)


@dataclass(frozen=True)
class Scans:
    """Where the scans of a JPEG lie, offsets in bytes.

    last          of the first pixels of its last scan; in one pass there is one scan
    end           of its end marker
    in_passes     as `is_in_passes` has it
    arithmetic    packed by the arithmetic code of annex D, which no camera writes
    next_restart  the restart mark that would come next in its last scan; nothing if it has none
    """

    last: int
    end: int
    in_passes: bool
    arithmetic: bool
    next_restart: bytes


def scans_of(data: bytes) -> Scans:
    """Find the scans of a checked JPEG."""
    at, frame, tells_all = _to_first_scan(data)
    end = data.find(b"\xff\xd9", at)
    in_passes = frame not in _ROW_AFTER_ROW or not tells_all
    header = data.rfind(b"\xff\xda", at, end) if in_passes else -1
    last = at if header < 0 else header + 2 + int.from_bytes(data[header + 2 : header + 4], "big")
    restart = data.rfind(b"\xff", last, end)
    while restart >= 0 and not 0xD0 <= data[restart + 1] <= 0xD7:
        restart = data.rfind(b"\xff", last, restart)
    following = bytes((0xFF, 0xD0 + (data[restart + 1] - 0xD0 + 1) % 8)) if restart >= 0 else b""
    return Scans(min(last, end), end, in_passes, frame in _ARITHMETIC, following)


def is_in_passes(data: bytes) -> bool:
    """Whether a decoder holds all of a JPEG before it shows a row: 2 bytes a colour of a pixel.

    So it is where a first scan tells a part of the picture (B.2.3) or of each value (G.1.1).
    """
    return scans_of(data).in_passes


def _to_first_scan(data: bytes) -> tuple[int, int, bool]:
    """Return where the first scan begins, the marker of the frame, and if all colours are in it.

    PhotoRefused if cut short.
    """
    at, marker, frame, segments, fill = 2, 0, 0, 0, 0
    colours = in_scan = 0
    while marker != _SCAN:
        if data[at : at + 1] != b"\xff":
            raise PhotoRefused(CUT_SHORT)
        while data[at : at + 1] == b"\xff" and fill <= MOST_FILL_BYTES:  # FF may fill up
            at, fill = at + 1, fill + 1
        segments += 1
        if segments > MOST_SEGMENTS or fill > MOST_FILL_BYTES:
            raise PhotoRefused(STUFFED)
        marker = data[at] if at < len(data) else _END
        length = 0 if marker in _STANDALONE else int.from_bytes(data[at + 1 : at + 3], "big")
        at += 1 + length
        if marker == _END or at > len(data):
            raise PhotoRefused(CUT_SHORT)
        if marker in _FRAMES:
            frame, colours = marker, data[at - length + 7]
        elif marker == _SCAN:
            in_scan = data[at - length + 2]
    return at, frame, in_scan >= colours


def _refuse_missing_passes(data: bytes, end: int) -> None:
    """A progressive picture is whole once every coefficient came down to its last bit (G.1.1)."""
    left: dict[int, set[int]] = {}  # component -> coefficients not told to the last bit
    at = 2
    while 0 <= (at := data.find(b"\xff\xda", at) + 2) - 2 < end:
        length, count = int.from_bytes(data[at : at + 2], "big"), data[at + 2]
        if length != 6 + 2 * count:
            continue  # no header of a scan, but bytes of a table
        names = data[at + 3 : at + 3 + 2 * count : 2]
        first, last, bits = data[at + length - 3 : at + length]
        for component in names:
            missing = left.setdefault(component, set(range(64)))
            if bits & 0x0F == 0:
                missing -= set(range(first, last + 1))
    if any(left.values()):
        raise PhotoRefused(CUT_SHORT)


def _walk_heic(data: bytes) -> None:
    """Box by box: each must end within the file."""
    at, seen = 0, set()
    while at < len(data):
        size, header = int.from_bytes(data[at : at + 4], "big"), 8
        if size == 1:
            size, header = int.from_bytes(data[at + 8 : at + 16], "big"), 16
        elif size == 0:  # to the end of the file
            size = len(data) - at
        if size < header or at + size > len(data):
            raise PhotoRefused(CUT_SHORT)
        seen.add(data[at + 4 : at + 8])
        at += size
    if b"meta" not in seen:
        raise PhotoRefused(f"The file holds no picture. {CUT_SHORT}")


def _walk_png(data: bytes) -> None:
    """Chunk by chunk with their checksums, up to the end and with pixels among them.

    Whether there are as many rows as the header promises, png_rows.py counts.
    """
    names = set()
    for name, _ in png_chunks(data):
        if name == b"acTL":
            raise PhotoRefused(
                "This PNG moves, and no one of its pictures can be said to be the photo. "
                "Send a still picture, as taken."
            )
        names.add(name)
    if b"IDAT" not in names:
        raise PhotoRefused(CUT_SHORT)


def png_exif(data: bytes) -> bytes | None:
    """The tags of a PNG, which may stand behind its pixels; None where it has none."""
    chunks = png_chunks(data, checked=False)  # their sums over 18 MB are 10 ms each time
    return next((bytes(body) for name, body in chunks if name == b"eXIf"), None)


def png_chunks(data: bytes, *, checked: bool = True) -> Iterator[tuple[bytes, memoryview]]:
    """Yield name and body of each chunk up to IEND; PhotoRefused where one is broken.

    Where there are more than a camera or a program writes, it is refused too.

    checked   whether each is held to its checksum too
    """
    at, view, left = 8, memoryview(data), MOST_CHUNKS
    while at + 12 <= len(data):
        if not left:
            raise PhotoRefused(STUFFED)
        left -= 1
        length, name = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        body = view[at + 8 : at + 8 + length]
        stored = int.from_bytes(data[at + 8 + length : at + 12 + length], "big")
        if checked and zlib.crc32(body, zlib.crc32(name)) != stored:
            break
        if name == b"IEND":
            return
        yield name, body
        at += 12 + length
    raise PhotoRefused(CUT_SHORT)
