"""The table outcomes.csv: what becomes of each awkward file, the same at every door and view."""

import csv
import struct
import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from registry.imaging import PhotoRefused, accept, make_sizes, read_stamps
from tests.imaging import photos
from tests.imaging.exif_bytes import short, taken, text, tiff

TABLE = Path(__file__).with_name("outcomes.csv").read_text(encoding="utf-8")
ROWS = list(csv.DictReader(TABLE.splitlines()))
BLACK = Image.new("RGB", (96, 64))
ON_ITS_SIDE = ["blue", "red", "yellow", "green"]  # the quarters under turn 6
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>'


def of_two(main: int) -> bytes:
    pair = [photos.quarters(), BLACK] if main == 0 else [BLACK, photos.quarters()]
    made, out = pillow_heif.from_pillow(pair[0]), BytesIO()
    made.add_from_pillow(pair[1])
    made.save(out, quality=95, primary_index=main)
    return out.getvalue()


def ten_bits(seen_through: bool) -> bytes:
    """The library packs 16 bits a colour as 10."""
    values = np.asarray(photos.quarters()).astype(np.uint16) * 257
    if seen_through:
        values = np.dstack([values, np.full(values.shape[:2], 65_535, np.uint16)])
    made, out = (
        pillow_heif.from_bytes("RGBA;16" if seen_through else "RGB;16", (96, 64), values.tobytes()),
        BytesIO(),
    )
    made.save(out, quality=95)
    assert pillow_heif.open_heif(out.getvalue()).info["bit_depth"] == 10
    return out.getvalue()


def with_notes(count: int) -> bytes:
    """Notes of the camera's maker (tag 0x927C, type 7), all that Exif has room for."""
    notes = (7, count, bytes(range(256)) * (count // 256) + bytes(count % 256))
    return tiff({0x0112: short(6)}, {0x9003: text("2024:04:18 14:20:00"), 0x927C: notes})


def row_of_moving() -> bytes:
    """ISO/IEC 23008-12, B.4.1: the brand of a sequence stands first."""
    whole = of_two(0)
    return whole[:8] + b"msf1" + whole[12:]


def adobe_marker(data: bytes) -> slice:
    """Where the segment APP14 stands: Adobe Technical Note 5116, section 18, from memory."""
    at = data.index(b"\xff\xee")
    return slice(at, at + 2 + int.from_bytes(data[at + 2 : at + 4], "big"))


def cmyk(marked: bool) -> bytes:
    data = photos.jpeg(photos.quarters().convert("CMYK"))
    marker = adobe_marker(data)
    return data if marked else data[: marker.start] + data[marker.stop :]


def ycck() -> bytes:
    """Inks turned round, then as brightness and two colours; black beside them."""
    cyan, magenta, yellow, black = photos.quarters().convert("CMYK").split()
    shades = Image.merge("RGB", (cyan, magenta, yellow)).convert("YCbCr").split()
    # The library turns all four round when it writes them.
    turned = [shade.point(lambda value: 255 - value) for shade in shades]
    data = photos.jpeg(Image.merge("CMYK", (*turned, black)))
    last = adobe_marker(data).stop - 1
    return data[:last] + b"\2" + data[last + 1 :]


def sixteen_bits(seen_through: bool) -> bytes:
    values = np.asarray(photos.quarters()).astype(np.uint16) * 257
    if not seen_through:
        return photos.png_16_bit(values)
    values = np.dstack([values, np.full(values.shape[:2], 65_535, np.uint16)])
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in values)
    return photos.png_raw((96, 64), rows, bits=16, colour=6)


def of_two_pictures(second: Image.Image) -> bytes:
    return photos.saved(photos.quarters(), "MPO", save_all=True, append_images=[second])


def wrong_list() -> bytes:
    """The list of pictures (CIPA DC-007, 5.2) points into nowhere."""
    data = of_two_pictures(BLACK)
    at = data.index(b"MPF\0") + 12
    return data[:at] + b"\xff" * 40 + data[at + 40 :]


def png_with(name: bytes, body: bytes) -> bytes:
    rows = b"".join(b"\0" + row.tobytes() for row in np.asarray(photos.quarters()))
    return photos.png_raw((96, 64), rows, before=photos.chunk(name, body))


def swollen() -> bytes:
    return zlib.compress(bytes(200_000_000), 9)


def tags_in_a_circle(pointer: int, following: int) -> bytes:
    """One table with turn 6 and a pointer back at itself; `following` is the next table's place."""
    turn = struct.pack("<HHIHH", 0x0112, 3, 1, 6, 0)
    table = struct.pack("<H", 2) + turn + struct.pack("<HHII", pointer, 4, 1, 8)
    return b"II*\0" + struct.pack("<I", 8) + table + struct.pack("<I", following)


def moving(kind: str) -> bytes:
    return photos.saved(photos.quarters(), kind, save_all=True, append_images=[BLACK])


def progressive() -> bytes:
    return photos.jpeg(photos.quarters(800, 600), progressive=True)


def closed(whole: bytes) -> bytes:
    """Cut at half and closed again, as a card that was pulled out is mended by a program."""
    return whole[: len(whole) // 2] + b"\xff\xd9"


def grain() -> Image.Image:
    pixels = np.random.default_rng(5).integers(0, 255, (60, 80, 3), dtype=np.uint8)
    return Image.fromarray(pixels)


def last_pass_cut(**how: object) -> bytes:
    whole = photos.jpeg(grain(), progressive=True, **how)
    assert accept(whole).height_px == 60
    begins = whole.rindex(b"\xff\xda")
    return whole[: (begins + len(whole)) // 2] + b"\xff\xd9"


def with_nought_inside() -> bytes:
    whole = photos.jpeg(grain().resize((320, 240)))
    return whole[:5000] + bytes(2000) + whole[7000:]


def stuffed(filling: bytes) -> bytes:
    """Filling in front of the first segment, where ISO/IEC 10918-1 B.1.1.2 allows it."""
    return photos.jpeg()[:2] + filling + photos.jpeg()[2:]


def as_long_as(count: int) -> bytes:
    return photos.jpeg() + bytes(count - len(photos.jpeg()))


MADE: dict[str, Callable[[], bytes]] = {
    "HEIC of two stills": lambda: of_two(0),
    "HEIC of two stills, the second the main one": lambda: of_two(1),
    "HEIC of 10 bits a colour": lambda: ten_bits(seen_through=False),
    "HEIC of 10 bits that can be seen through": lambda: ten_bits(seen_through=True),
    "HEIC row of moving pictures": row_of_moving,
    "CMYK JPEG with an Adobe marker": lambda: cmyk(marked=True),
    "CMYK JPEG without an Adobe marker": lambda: cmyk(marked=False),
    "YCCK JPEG with an Adobe marker": ycck,
    "PNG of 16 bits a colour": lambda: sixteen_bits(seen_through=False),
    "PNG of 16 bits and 51 megapixels": lambda: photos.png_raw((8000, 6400), b"", bits=16),
    "PNG of 1 bit in passes and 51 megapixels": lambda: photos.png_raw(
        (8000, 6400), b"", bits=1, colour=0, interlaced=True
    ),
    "PNG of 16 bits that can be seen through": lambda: sixteen_bits(seen_through=True),
    "JPEG of two pictures": lambda: of_two_pictures(BLACK),
    "JPEG with a map of brightness hung on": lambda: of_two_pictures(Image.new("L", (24, 16), 99)),
    "JPEG whose list of pictures is wrong": wrong_list,
    "progressive JPEG cut at half": lambda: progressive()[: len(progressive()) // 2],
    "progressive JPEG cut at half and closed": lambda: closed(progressive()),
    "progressive JPEG cut in its last pass and closed": last_pass_cut,
    "progressive JPEG with restart marks, cut in its last pass and closed": lambda: last_pass_cut(
        restart_marker_blocks=2
    ),
    "JPEG of 10 001 empty segments": lambda: stuffed(b"\xff\xe5\0\2" * 10_001),
    "JPEG with 100 001 fill bytes": lambda: stuffed(b"\xff" * 100_001),
    "JPEG cut at half and closed": lambda: closed(photos.jpeg(photos.quarters(800, 600))),
    "JPEG with 2 000 bytes of nought in its pixels": with_nought_inside,
    "JPEG filled up before its end": lambda: photos.jpeg()[:-2] + bytes(3000) + b"\xff\xff\xd9",
    "JPEG without its last two bytes": lambda: photos.jpeg()[:-2],
    "PNG of 100 001 empty pieces": lambda: photos.png_raw(
        (96, 64), b"", before=photos.chunk(b"teSt", b"") * 100_001
    ),
    "moving WebP named .jpg": lambda: moving("WEBP"),
    "moving GIF named .jpg": lambda: moving("GIF"),
    "moving PNG named .jpg": lambda: moving("PNG"),
    "JPEG with bytes behind its end": lambda: photos.jpeg() + b"behind" * 10_000,
    "PNG with a text of 20 megabytes": lambda: png_with(b"tEXt", b"x\0" + b"x" * 20_000_000),
    "PNG whose packed text swells to 200 megabytes": lambda: png_with(
        b"zTXt", b"x\0\0" + swollen()
    ),
    "PNG whose colour profile swells to 200 megabytes": lambda: png_with(
        b"iCCP", b"x\0\0" + swollen()
    ),
    "JPEG whose tags go round in a circle": lambda: photos.jpeg(exif=tags_in_a_circle(0x8825, 8)),
    "JPEG whose camera tags are its main tags": lambda: photos.jpeg(
        exif=tags_in_a_circle(0x8769, 0)
    ),
    "JPEG with 60 000 bytes of the maker's notes": lambda: photos.jpeg(exif=with_notes(60_000)),
    "JPEG with turn 0": lambda: photos.jpeg(exif=taken(orientation=0)),
    "JPEG with turn 9": lambda: photos.jpeg(exif=taken(orientation=9)),
    "JPEG of the day 0000:00:00": lambda: photos.jpeg(exif=taken("0000:00:00 00:00:00")),
    "HTML in front of a JPEG": lambda: b"<html><script>" + photos.jpeg(),
    "HTML behind a PNG": lambda: photos.saved(photos.quarters(), "PNG") + b"<html><script>",
    "SVG named .jpg": lambda: SVG,
    "PNG of 201 megapixels": lambda: photos.png_raw((20_100, 10_000), b"", bits=1, colour=0),
    "JPEG that says 60 000 x 60 000": lambda: photos.with_jpeg_size(photos.jpeg(), 60_000, 60_000),
    "HEIC that says 60 000 x 60 000": lambda: photos.with_heic_size(photos.heic(), 60_000, 60_000),
    "JPEG of 60 000 000 bytes": lambda: as_long_as(60_000_000),
    "JPEG of 60 000 001 bytes": lambda: as_long_as(60_000_001),
}


def test_the_table_and_the_files_made_for_it_are_the_same():
    assert [row["file"] for row in ROWS] == list(MADE)
    assert {row["outcome"] for row in ROWS} == {"taken", "refused"}


@pytest.mark.parametrize("row", ROWS, ids=[row["file"] for row in ROWS])
def test_what_becomes_of_it(row: dict[str, str]):
    data = MADE[row["file"]]()
    if row["outcome"] == "refused":
        with pytest.raises(PhotoRefused, match=row["said or seen"]):
            accept(data)
        return
    facts, stamps, sizes = accept(data), read_stamps(data), make_sizes(data)
    for view in (sizes.in_list, sizes.on_page):
        with Image.open(BytesIO(view.data)) as shown:
            seen = photos.corner_colours(shown)
        assert seen == (ON_ITS_SIDE if "on its side" in row["said or seen"] else photos.UPRIGHT)
        assert b"<script" not in view.data
    told = f"{facts.frames} picture{'s' if facts.frames > 1 else ''}"
    assert told in row["said or seen"] or "picture" not in row["said or seen"]
    if "undated" in row["said or seen"]:
        assert stamps.undated
    assert ("turn" in stamps.unreadable) == row["why"].endswith("named as not readable")
