"""The one place where Pillow opens a photo: of one kind, of a bounded size, without chatter."""

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO

import pi_heif
from PIL import Image, ImageFile

from registry.imaging.faults import PhotoRefused
from registry.imaging.kinds import Kind
from registry.imaging.wholeness import png_exif

MOST_PIXELS = 200_000_000
# The longest JPEG that its decoder opens; one row of a picture a single pixel high would fill the
# memory.
MOST_SIDE_PX = 65_500

# Process-wide, as Pillow has it. Beyond it Pillow warns and beyond twice it raises; here both
# are refusals, see `open_photo`.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS
pi_heif.register_heif_opener(
    thumbnails=False, depth_images=False, aux_images=False, decode_threads=2
)

_FORMATS = {Kind.JPEG: "JPEG", Kind.PNG: "PNG", Kind.HEIC: "HEIF"}

# What Pillow and libheif raise at bytes that are not what they claim to be.
BROKEN = (
    OSError,  # with it UnidentifiedImageError
    SyntaxError,
    ValueError,
    IndexError,
    EOFError,
    OverflowError,
    RuntimeError,
    struct.error,
)
BOMBS = (Image.DecompressionBombError, Image.DecompressionBombWarning)

UNREADABLE = (
    "The photo cannot be read: the file is cut short or damaged, or built as no camera or phone "
    "does it. Send it again from the device that took it."
)
TOO_MANY_PIXELS = (
    f"The photo has more than {MOST_PIXELS // 1_000_000} megapixels, the most this record takes. "
    "Take it with fewer pixels, or cut it into parts."
)


@contextmanager
def open_photo(data: bytes, kind: Kind) -> Iterator[ImageFile.ImageFile]:
    """Open `data` as `kind`, its header read and no pixel decoded; usable inside the block.

    Whatever Pillow raises inside the block for damaged bytes comes out as PhotoRefused.
    Warnings: damaged tags are told by what is read of them (stamps.py), not on the server's
    log; a bomb is an error. Were another thread to swap the warning filters meanwhile, the
    size is still held by the comparison here.
    """
    if kind is Kind.HEIC:
        for size in _heic_sizes(data):
            _check_size(size)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(BytesIO(data), formats=[_FORMATS[kind]]) as image:
                _check_size(image.size)
                if kind is Kind.PNG and "exif" not in image.info and (late := png_exif(data)):
                    image.info["exif"] = late
                yield image
        except BOMBS as fault:
            raise PhotoRefused(TOO_MANY_PIXELS) from fault
        except BROKEN as fault:
            raise PhotoRefused(UNREADABLE) from fault


def load_heic(data: bytes) -> pi_heif.HeifImage:
    """Decode the main picture of a HEIC, turned as it states; for use within `open_photo`."""
    file = pi_heif.open_heif(data, convert_hdr_to_8bit=True, remove_stride=False)
    picture = file[file.primary_index]
    picture.load()
    return picture


def _heic_sizes(data: bytes) -> Iterator[tuple[int, int]]:
    """Width and height that the file states of each of its pictures (ISO/IEC 23008-12, 6.5.3).

    libheif has limits of its own and tells of them in words for programmers.
    """
    at = -1
    while (at := data.find(b"ispe\0\0\0\0", at + 1)) >= 0:
        width, height = data[at + 8 : at + 12], data[at + 12 : at + 16]
        yield int.from_bytes(width, "big"), int.from_bytes(height, "big")


def _check_size(size: tuple[int, int]) -> None:
    width, height = size
    if width < 1 or height < 1:
        raise PhotoRefused("The photo has no size: it is zero pixels wide or high.")
    if width * height > MOST_PIXELS:
        raise PhotoRefused(TOO_MANY_PIXELS)
    if max(width, height) > MOST_SIDE_PX:
        raise PhotoRefused(
            f"The photo is {max(width, height)} pixels long; up to {MOST_SIDE_PX} are taken. "
            "Cut it into parts."
        )
