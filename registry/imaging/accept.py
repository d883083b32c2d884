"""Whether a file is a photo that can be kept, and the facts that name it.

Nothing of the file is changed: what is kept is the bytes as they came, under their SHA-256, so
that the same file sent twice is one file.
"""

import hashlib
from dataclasses import dataclass

from registry.imaging.decode import refuse_too_large_png
from registry.imaging.faults import PhotoRefused
from registry.imaging.jpeg_scans import check_scans
from registry.imaging.kinds import Kind, kind_of
from registry.imaging.opening import open_photo
from registry.imaging.png_rows import check_all_rows, read_header
from registry.imaging.wholeness import check_pieces, check_whole, is_in_passes

MOST_BYTES = 60_000_000
# Larger ones are inflated once, when their sizes are made: it takes 7 ms a megabyte.
ROWS_COUNTED_UP_TO_BYTES = 2_000_000
# The decoder holds all of one in passes, up to 8 bytes a pixel: 200 MB. Cameras write none.
PASSES_DECODED_UP_TO_PX = 25_000_000


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
    no size; a PNG over 50 megapixels that cannot be decoded row by row. A JPEG is also decoded
    once at an eighth of its size, which takes 40 ms and shows damage while the sender still holds
    the camera; one in passes, which no camera writes, takes 120 ms and is decoded up to 25
    megapixels. A HEIC costs half a second to decode, and a PNG as much to inflate: a HEIC damaged
    inside, or a large PNG with rows missing though all its checksums are right, is found, as
    PhotoRefused, when its sizes are made (sizes.py).
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
    if kind is Kind.JPEG and (width * height <= PASSES_DECODED_UP_TO_PX or not is_in_passes(data)):
        check_scans(data)
    if kind is Kind.PNG:
        refuse_too_large_png(read_header(data))
        if len(data) <= ROWS_COUNTED_UP_TO_BYTES or not read_header(data).in_strips:
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
