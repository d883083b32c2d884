"""Photos made for the tests, the good and the hostile; none is kept as a file."""

import struct
import zlib
from io import BytesIO

import numpy as np
import pillow_heif
from PIL import Image

RED, GREEN, BLUE, YELLOW = (200, 30, 30), (30, 160, 60), (30, 60, 200), (220, 200, 40)


def quarters(width: int = 96, height: int = 64) -> Image.Image:
    """Red upper left, green upper right, blue lower left, yellow lower right."""
    image = Image.new("RGB", (width, height), RED)
    image.paste(GREEN, (width // 2, 0, width, height))
    image.paste(BLUE, (0, height // 2, width // 2, height))
    image.paste(YELLOW, (width // 2, height // 2, width, height))
    return image


def jpeg(image: Image.Image | None = None, exif: bytes = b"", **how: object) -> bytes:
    out = BytesIO()
    marked = b"Exif\0\0" + exif if exif else b""
    (image or quarters()).save(out, "JPEG", exif=marked, **({"quality": 95} | how))
    return out.getvalue()


def heic(image: Image.Image | None = None, exif: bytes | None = None, quality: int = 95) -> bytes:
    out = BytesIO()
    made = pillow_heif.from_pillow(image or quarters())
    given = b"Exif\0\0" + exif if exif else None
    # The quickest way of packing: an eighth of the time, and nothing here hangs on the bytes saved.
    made.save(out, quality=quality, exif=given, enc_params={"preset": "ultrafast"})
    return out.getvalue()


def saved(image: Image.Image, kind: str, **how: object) -> bytes:
    out = BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def chunk(name: bytes, body: bytes) -> bytes:
    checksum = struct.pack(">I", zlib.crc32(name + body))
    return struct.pack(">I", len(body)) + name + body + checksum


def png_raw(
    size: tuple[int, int],
    rows: bytes,
    *,
    bits: int = 8,
    colour: int = 2,
    interlaced: bool = False,
    before: bytes = b"",
) -> bytes:
    """A PNG of rows already filtered, whatever its header promises."""
    header = struct.pack(">IIBBBBB", *size, bits, colour, 0, 0, int(interlaced))
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + before
        + chunk(b"IDAT", zlib.compress(rows, 9))
        + chunk(b"IEND", b"")
    )


def png_16_bit(values: np.ndarray) -> bytes:
    """Shape (rows, columns, 1 or 3), 16 bits each."""
    height, width, samples = values.shape
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in values)
    return png_raw((width, height), rows, bits=16, colour={1: 0, 3: 2}[samples])


def with_jpeg_size(data: bytes, width: int, height: int) -> bytes:
    """A JPEG whose header lies about its size: marker SOF0, ISO/IEC 10918-1 B.2.2."""
    at = data.index(b"\xff\xc0")
    return data[: at + 5] + struct.pack(">HH", height, width) + data[at + 9 :]


def with_heic_size(data: bytes, width: int, height: int) -> bytes:
    """A HEIC whose header lies about its size: box `ispe`, ISO/IEC 23008-12 6.5.3."""
    at = data.index(b"ispe\0\0\0\0")
    return data[: at + 8] + struct.pack(">II", width, height) + data[at + 16 :]


def stored_under(seen: np.ndarray, turn: int) -> np.ndarray:
    """The stored picture that is seen as `seen` under the turn: Exif 2.32, 4.6.4, tag 0x0112.

    "The 0th row is at the visual ... of the image, and the 0th column is the visual ...": top and
    left (1), top and right (2), bottom and right (3), bottom and left (4), left and top (5),
    right and top (6), right and bottom (7), left and bottom (8).
    """
    height, width = seen.shape[:2]
    down, right = np.arange(height), np.arange(width)
    rows, columns = {
        1: (down, right),
        2: (down, right[::-1]),
        3: (down[::-1], right[::-1]),
        4: (down[::-1], right),
        5: (right, down),
        6: (right[::-1], down),
        7: (right[::-1], down[::-1]),
        8: (right, down[::-1]),
    }[turn]
    if turn <= 4:
        return seen[np.ix_(rows, columns)]
    return seen[np.ix_(columns, rows)].swapaxes(0, 1)


def corner_colours(image: Image.Image) -> list[str]:
    """The colours near the four corners: upper left, upper right, lower left, lower right."""
    named = {"red": RED, "green": GREEN, "blue": BLUE, "yellow": YELLOW}
    width, height = image.size
    found = []
    for x, y in ((0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)):
        pixel = np.array(image.convert("RGB").getpixel((int(x * width), int(y * height))))
        found.append(min(named, key=lambda name: np.abs(pixel - named[name]).sum()))
    return found


UPRIGHT = ["red", "green", "blue", "yellow"]
