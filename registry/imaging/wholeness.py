"""Whether a file has arrived whole: found by its structure, without a picture in memory.

JPEG: ISO/IEC 10918-1 annex B (markers). PNG: ISO/IEC 15948 clause 5 (chunks). HEIC: ISO/IEC
14496-12 4.2 (boxes).
"""

import zlib
from collections.abc import Iterator

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
_PROGRESSIVE, _ROW_BY_ROW = 0xC2, frozenset({0xC0, 0xC1})  # table B.1
_ROW_AFTER_ROW = _ROW_BY_ROW | {0xC9}
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
# A decoder reads so many bytes ahead of the last pixel, 8 as measured; to pixels that are missing
# they add a few blocks at the most.
_READ_AHEAD = 16
_FILLED_UP = 4000


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


def pixels_alone(data: bytes) -> bytes | None:
    """A checked JPEG without its end, for a decoder that asks for more where pixels are missing.

    None for one in passes, which no decoder shows before its end. A file that was cut off and
    closed again is decoded without a word otherwise, its missing rows grey.
    """
    at, frame, tells_all = _to_first_scan(data)
    if frame not in _ROW_BY_ROW or not tells_all:
        return None
    return data[: data.find(b"\xff\xd9", at)] + bytes(_READ_AHEAD)


def filled_up(data: bytes, filler: int) -> bytes:
    """A checked JPEG with some thousand bytes `filler` in front of its end.

    Behind a last pass that is whole a decoder skips them; one that was cut takes them for its own.
    """
    at, _, _ = _to_first_scan(data)
    return data[: data.find(b"\xff\xd9", at)] + bytes((filler,)) * _FILLED_UP + b"\xff\xd9"


def is_in_passes(data: bytes) -> bool:
    """Whether a decoder holds all of a JPEG before it shows a row: 2 bytes a colour of a pixel.

    So it is where a first scan tells a part of the picture (B.2.3) or of each value (G.1.1).
    """
    _, frame, tells_all = _to_first_scan(data)
    return frame not in _ROW_AFTER_ROW or not tells_all


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
