"""The rows of a PNG, inflated once: decoded whole, or a strip at a time.

ISO/IEC 15948: chunks clause 5, scanlines 7.2, Adam7 8.1, filters clause 9.
"""

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageFile

from registry.imaging.faults import PhotoRefused
from registry.imaging.wholeness import BITE, CUT_SHORT, png_chunks

SIGNATURE = b"\x89PNG\r\n\x1a\n"

# First column, first row, step right, step down of each pass; the seven are Adam7.
_ADAM7 = (
    (0, 0, 8, 8),
    (4, 0, 8, 8),
    (0, 4, 4, 8),
    (2, 0, 4, 4),
    (0, 2, 2, 4),
    (1, 0, 2, 2),
    (0, 1, 1, 2),
)
_ONE_PASS = ((0, 0, 1, 1),)
_SAMPLES = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}  # colour type -> samples a pixel
_PALETTE = 3
_UNTOUCHED = 173  # painted on the last row before it is decoded, in every band


@dataclass(frozen=True)
class Header:
    """What IHDR states: sizes in pixels, bits a sample, colour type, whether written in passes."""

    width: int
    height: int
    bits: int
    colour: int
    interlaced: bool

    @property
    def in_strips(self) -> bool:
        """Whether the picture can be decoded a strip at a time: 8 bits, no palette, one pass.

        These are what cameras and telephones write. For a strip the last row before it is
        needed as it was stored, and of the others Pillow does not give it back.
        """
        return self.bits == 8 and self.colour != _PALETTE and not self.interlaced

    @property
    def is_one_byte(self) -> bool:
        """Whether a pixel takes one byte in memory: grey or palette of 8 bits at most."""
        return self.bits <= 8 and self.colour in {0, _PALETTE}

    @property
    def row_bytes(self) -> int:
        """Bytes of one filtered row of a picture that is written in one pass."""
        return 1 + -(-self.width * self.bits * _SAMPLES.get(self.colour, 0) // 8)

    @property
    def promised_bytes(self) -> int:
        """Bytes of filtered rows that the whole picture takes."""
        bits = self.bits * _SAMPLES.get(self.colour, 0)
        total = 0
        for left, top, right, down in _ADAM7 if self.interlaced else _ONE_PASS:
            columns = -(-max(0, self.width - left) // right)
            rows = -(-max(0, self.height - top) // down)
            total += rows * (1 + -(-columns * bits // 8)) if columns else 0
        return total


def read_header(data: bytes) -> Header:
    """Read IHDR, the first chunk; PhotoRefused where it is none."""
    name, body = next(png_chunks(data), (b"", memoryview(b"")))
    if name != b"IHDR" or len(body) != 13:
        raise PhotoRefused(CUT_SHORT)
    width, height, bits, colour, _, _, passes = struct.unpack(">IIBBBBB", body)
    return Header(width, height, bits, colour, bool(passes))


def check_all_rows(data: bytes) -> None:
    """Raise PhotoRefused where there are fewer rows than the header promises.

    Pillow paints missing rows black without a word. Needs memory for a bite.
    """
    missing = read_header(data).promised_bytes
    for part in _inflated(data):
        missing -= len(part)
        if missing <= 0:
            return
    raise PhotoRefused(CUT_SHORT)


def whole(data: bytes, image: ImageFile.ImageFile) -> ImageFile.ImageFile:
    """The opened picture of a PNG that is `in_strips`, in memory whole. It is inflated once.

    Whether its rows were all there is told by the last one, painted before. Where that is still
    as it was painted, which is missing or happens to be so, all rows are counted.
    """
    last = (0, image.height - 1, image.width, image.height)
    bands = len(image.getbands())
    image.load_prepare()
    image.im.paste(_UNTOUCHED if bands == 1 else (_UNTOUCHED,) * bands, last)
    image.load()
    if all(band.getextrema() == (_UNTOUCHED, _UNTOUCHED) for band in image.crop(last).split()):
        check_all_rows(data)
    return image


def strips(data: bytes, rows: int) -> Iterator[Image.Image]:
    """Yield the picture of a PNG that is `in_strips`, `rows` rows at a time (fewer at the end).

    Pillow decodes each strip as a small PNG of its own: its filtered rows as they are, not
    deflated anew, behind the last row of the strip before, which their filters look back to.
    PhotoRefused where rows are missing.
    """
    header = read_header(data)
    colours = b"".join(_chunk(name, body) for name, body in png_chunks(data) if name == b"tRNS")
    left, above, waiting = header.height, b"", bytearray()
    for part in _inflated(data):
        waiting += part
        while left and len(waiting) >= (size := header.row_bytes * min(rows, left)):
            strip = _decoded(header, colours, above, bytes(memoryview(waiting)[:size]))
            del waiting[:size]
            left -= strip.height
            above = b"\0" + strip.crop((0, strip.height - 1, strip.width, strip.height)).tobytes()
            yield strip
        if not left:  # what swells behind the last row is never gathered
            return
    if left:
        raise PhotoRefused(CUT_SHORT)


def _decoded(header: Header, colours: bytes, above: bytes, rows: bytes) -> Image.Image:
    """Decode filtered rows; `above` is the unfiltered row before them, or nothing."""
    size = (header.width, (len(above) + len(rows)) // header.row_bytes)
    ihdr = struct.pack(">IIBBBBB", *size, header.bits, header.colour, 0, 0, 0)
    stored = zlib.compress(above + rows, 0)
    parts = (
        SIGNATURE,
        _chunk(b"IHDR", ihdr),
        colours,
        _chunk(b"IDAT", stored),
        _chunk(b"IEND", b""),
    )
    with Image.open(BytesIO(b"".join(parts)), formats=["PNG"]) as small:
        small.load()
        return small.crop((0, 1 if above else 0, *size))


def _chunk(name: bytes, body: bytes | memoryview) -> bytes:
    check = zlib.crc32(body, zlib.crc32(name))
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", check)


def _inflated(data: bytes) -> Iterator[bytes]:
    """Yield what comes out of the IDAT chunks, a bite at a time."""
    inflate = zlib.decompressobj()
    try:
        for name, body in png_chunks(data):
            if name != b"IDAT":
                continue
            for at in range(0, len(body), BITE):
                if inflate.eof:
                    return
                yield inflate.decompress(body[at : at + BITE])
    except zlib.error as fault:
        raise PhotoRefused(CUT_SHORT) from fault
