"""Whether a file is a photo that can be kept, and the facts that name it.

Nothing of the file is changed: what is kept is the bytes as they came, under their SHA-256, so
that the same file sent twice is one file.
"""

import hashlib
from dataclasses import dataclass

from registry.imaging.faults import PhotoRefused
from registry.imaging.kinds import Kind, kind_of
from registry.imaging.opening import UNREADABLE, open_photo
from registry.imaging.png_rows import check_all_rows, read_header
from registry.imaging.wholeness import (
    CUT_SHORT,
    check_pieces,
    check_whole,
    filled_up,
    is_in_passes,
    pixels_alone,
)

MOST_BYTES = 60_000_000
# Larger ones are inflated once, when their sizes are made: it takes 7 ms a megabyte.
ROWS_COUNTED_UP_TO_BYTES = 2_000_000
# Its decoder holds all of one in passes, 10 bytes a pixel: 250 MB. Cameras write none.
PASSES_COMPARED_UP_TO_PX = 25_000_000
_STRIP_ROWS = 256


@dataclass(frozen=True)
class Accepted:
    """A photo that can be kept.

    sha256     64 hexadecimal figures of the bytes as they came
    kind       by content; `kind.media_type` is what it is served as, never a name's ending
    width_px, height_px  as stored, before the turn that the camera noted (HEIC: after its own)
    frames     pictures in the file: phones hang second views on; the first or the file's own
               main picture is the photo
    """

    sha256: str
    kind: Kind
    bytes_long: int
    width_px: int
    height_px: int
    frames: int


def accept(data: bytes) -> Accepted:
    """Return the facts of a photo, or raise PhotoRefused with the reason in the user's words.

    Refused are: over 60 MB; over 200 megapixels, told from the header before a pixel is
    decoded; any other kind of file, whatever its name; moving pictures; files cut short or of
    no size. A JPEG is also decoded once at an eighth of its size, which takes 40 ms and shows
    damage while the sender still holds the camera; one in passes, which no camera writes, is
    decoded whole twice, up to 25 megapixels. A HEIC costs half a second to decode, and a PNG as
    much to inflate: a HEIC damaged inside, or a large PNG with rows missing though all its
    checksums are right, is found, as PhotoRefused, when its sizes are made (sizes.py).
    """
    if not data:
        raise PhotoRefused("The file is empty.")
    if len(data) > MOST_BYTES:
        raise PhotoRefused(
            f"The photo has {len(data) / 1e6:.1f} MB; up to {MOST_BYTES // 1_000_000} MB are taken."
        )
    kind = kind_of(data)
    check_pieces(data, kind)
    width, height, frames = _measures(data, kind)
    check_whole(data, kind)
    if kind is Kind.JPEG and not is_in_passes(data):
        _decode_small(data)
    elif kind is Kind.JPEG and width * height <= PASSES_COMPARED_UP_TO_PX:
        _compare_last_pass(data)
    if kind is Kind.PNG and (
        len(data) <= ROWS_COUNTED_UP_TO_BYTES or not read_header(data).in_strips
    ):
        check_all_rows(data)
    return Accepted(
        sha256=hashlib.sha256(data).hexdigest(),
        kind=kind,
        bytes_long=len(data),
        width_px=width,
        height_px=height,
        frames=frames,
    )


def _measures(data: bytes, kind: Kind) -> tuple[int, int, int]:
    """Width and height in pixels and the number of pictures, from the header alone."""
    with open_photo(data, kind) as image:
        return image.width, image.height, int(getattr(image, "n_frames", 1))


def _decode_small(data: bytes) -> None:
    """Decode at an eighth; without its end, where that shows pixels that are missing."""
    alone = pixels_alone(data)
    with open_photo(data if alone is None else alone, Kind.JPEG) as image:
        image.draft(None, (max(1, image.width // 8), max(1, image.height // 8)))
        try:
            image.load()
        except OSError as fault:
            raise PhotoRefused(UNREADABLE if alone is None else CUT_SHORT) from fault


def _compare_last_pass(data: bytes) -> None:
    """Raise PhotoRefused where what is put behind the last pass changes what is seen."""
    if _seen_with(data, 0x00) != _seen_with(data, 0xAA):
        raise PhotoRefused(CUT_SHORT)


def _seen_with(data: bytes, filler: int) -> bytes:
    """A digest of all pixels."""
    seen = hashlib.sha256()
    with open_photo(filled_up(data, filler), Kind.JPEG) as image:
        image.load()
        for top in range(0, image.height, _STRIP_ROWS):
            bottom = min(image.height, top + _STRIP_ROWS)
            seen.update(image.crop((0, top, image.width, bottom)).tobytes())
    return seen.digest()
