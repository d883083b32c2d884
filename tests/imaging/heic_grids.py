"""HEICs put together of tiles, as telephones write large photos: ISO/IEC 23008-12, 6.6.2.3."""

import struct
from functools import cache

import numpy as np
from PIL import Image

from tests.imaging import photos

Turns = tuple[tuple[str, int], ...]


def heic_grid(image: Image.Image, tile: int = 256, turns: Turns = ()) -> bytes:
    """A HEIC of square tiles, which the library writes one by one.

    turns  ("irot", quarter turns against the clock) and ("imir", axis), in the order in which
           they are to be made
    """
    columns, rows = -(-image.width // tile), -(-image.height // tile)
    coded, setting = [], set()
    for top in range(0, rows * tile, tile):
        for left in range(0, columns * tile, tile):
            one, how = _coded(_edged(image, left, top, tile).tobytes(), (tile, tile))
            coded.append(one)
            setting.add(how)
    assert len(setting) == 1, "the tiles share one setting of their decoder"
    layout = struct.pack(">BBBBHH", 0, 0, rows - 1, columns - 1, image.width, image.height)
    return _put_together(image.size, tile, coded, setting.pop(), layout, turns)


def repeated(size: tuple[int, int], tile: Image.Image) -> bytes:
    """A HEIC of any size whose tiles are all one and the same, coded once."""
    one, how = _coded(tile.tobytes(), tile.size, quality=48)
    columns, rows = -(-size[0] // tile.width), -(-size[1] // tile.height)
    layout = struct.pack(">BBBBII", 0, 1, rows - 1, columns - 1, *size)
    return _put_together(size, tile.width, [one] * (rows * columns), how, layout, ())


def _edged(image: Image.Image, left: int, top: int, tile: int) -> Image.Image:
    """A whole tile; beyond the picture its last column and row go on."""
    pixels = np.asarray(image.crop((left, top, left + tile, top + tile)))
    across = max(0, left + tile - image.width)
    down = max(0, top + tile - image.height)
    pixels = pixels[: tile - down, : tile - across]
    return Image.fromarray(np.pad(pixels, ((0, down), (0, across), (0, 0)), mode="edge"))


@cache
def _coded(pixels: bytes, size: tuple[int, int], quality: int = 95) -> tuple[bytes, bytes]:
    """The coded picture of a tile and the box that sets its decoder."""
    data = photos.heic(Image.frombytes("RGB", size, pixels), quality=quality)
    at = data.index(b"hvcC") - 4
    setting = data[at : at + int.from_bytes(data[at : at + 4], "big")]
    return data[data.index(b"mdat") + 4 :], setting


def _put_together(
    size: tuple[int, int],
    tile: int,
    coded: list[bytes],
    setting: bytes,
    layout: bytes,
    turns: Turns,
) -> bytes:
    main = len(coded) + 1
    numbers = range(1, main)
    infes = [_full(b"infe", struct.pack(">HH4sB", n, 0, b"hvc1", 0), 2, 1) for n in numbers]
    infes.append(_full(b"infe", struct.pack(">HH4sB", main, 0, b"grid", 0), 2))
    parts = _box(b"dimg", struct.pack(f">HH{main - 1}H", main, main - 1, *numbers))
    kept = [setting, _ispe(tile, tile), _ispe(*size)]
    kept += [_box(name.encode(), bytes((value,))) for name, value in turns]
    told = b"".join(struct.pack(">HBBB", n, 2, 0x81, 0x02) for n in numbers)
    of_main = [3, *(0x80 | n for n in range(4, 4 + len(turns)))]
    told += struct.pack(">HB", main, len(of_main)) + bytes(of_main)
    ipma = _full(b"ipma", struct.pack(">I", main) + told)

    def meta(start: int) -> bytes:
        places, at = b"", start
        for n, one in zip(numbers, coded, strict=True):
            places += struct.pack(">HHHHII", n, 0, 0, 1, at, len(one))
            at += len(one)
        places += struct.pack(">HHHHII", main, 1, 0, 1, 0, len(layout))
        return _full(
            b"meta",
            _full(b"hdlr", b"\0\0\0\0pict" + bytes(13))
            + _full(b"pitm", struct.pack(">H", main))
            + _full(b"iinf", struct.pack(">H", main) + b"".join(infes))
            + _full(b"iref", parts)
            + _box(b"iprp", _box(b"ipco", b"".join(kept)) + ipma)
            + _full(b"iloc", struct.pack(">HH", 0x4400, main) + places, 1)
            + _box(b"idat", layout),
        )  # fmt: skip

    ftyp = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"
    start = len(ftyp) + len(meta(0)) + 8
    return ftyp + meta(start) + _box(b"mdat", b"".join(coded))


def _ispe(width: int, height: int) -> bytes:
    return _full(b"ispe", struct.pack(">II", width, height))


def _box(name: bytes, body: bytes) -> bytes:
    return (8 + len(body)).to_bytes(4, "big") + name + body


def _full(name: bytes, body: bytes, version: int = 0, flags: int = 0) -> bytes:
    return _box(name, bytes((version, 0, 0, flags)) + body)
