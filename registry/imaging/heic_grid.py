"""A HEIC put together of tiles, decoded a row of tiles at a time.

Telephones write a large photo as a grid of small coded pictures (ISO/IEC 23008-12, 6.6.2.3). Its
decoder holds the whole of it, 4.5 bytes a pixel; decoded tile by tile it takes one row of tiles.
Each tile is given to the decoder as a small HEIC of its own.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass

from PIL import Image

from registry.imaging.faults import PhotoRefused
from registry.imaging.heic_boxes import Items, Property, read_items
from registry.imaging.opening import UNREADABLE, load_heic

# Telephones write 512. Tiles as small as a file may have them only keep a machine busy.
LEAST_TILE_PX = 256
# Pixels of a row of tiles, which take 9 bytes each while they are put together.
MOST_ROW_PX = 20_000_000
_TURNS = {b"irot", b"imir"}
_FTYP = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"
# 6.5.12: 0 changes top and bottom over, 1 left and right.
_MIRRORED = (Image.Transpose.FLIP_TOP_BOTTOM, Image.Transpose.FLIP_LEFT_RIGHT)
# 6.5.10: quarter turns against the clock
_ROTATED = (
    None,
    Image.Transpose.ROTATE_90,
    Image.Transpose.ROTATE_180,
    Image.Transpose.ROTATE_270,
)


@dataclass(frozen=True)
class Grid:
    """The main picture of a HEIC that is put together of tiles.

    columns, rows  of tiles, from the upper left
    tile           (width, height) of each in pixels
    size           (width, height) of the picture in pixels before its turns; what tiles have
                   beyond it is cut off
    turns          properties `irot` and `imir`, in the order in which they are made
    """

    items: Items
    tiles: tuple[int, ...]
    columns: int
    rows: int
    tile: tuple[int, int]
    size: tuple[int, int]
    turns: tuple[Property, ...]

    @property
    def seen_size(self) -> tuple[int, int]:
        """(width, height) in pixels after its turns."""
        return self.size[::-1] if self.lies_on_its_side else self.size

    @property
    def lies_on_its_side(self) -> bool:
        """Whether width and height change places in its turns."""
        return sum(one.body[0] & 1 for one in self.turns if one.name == b"irot") % 2 == 1

    def strips(self) -> Iterator[Image.Image]:
        """Yield the picture before its turns, a row of tiles at a time.

        PhotoRefused where a tile is damaged, or of another size than its neighbours.
        """
        width, height = self.size
        for row in range(self.rows):
            strip = Image.new("RGB", (width, min(self.tile[1], height - row * self.tile[1])))
            for column in range(self.columns):
                tile = self._decoded(self.tiles[row * self.columns + column])
                strip.paste(tile, (column * self.tile[0], 0))
            yield strip

    def turned(self, image: Image.Image) -> Image.Image:
        """The picture as seen, of one as `strips` gives it, of any size."""
        for one in self.turns:
            if one.name == b"imir":
                image = image.transpose(_MIRRORED[one.body[0] & 1])
            elif (turn := _ROTATED[one.body[0] & 3]) is not None:
                image = image.transpose(turn)
        return image

    def _decoded(self, item: int) -> Image.Image:
        own = [one for one in self.items.described.get(item, ()) if one.name not in _TURNS]
        if not any(one.name == b"colr" and one.body.startswith(b"nclx") for one in own):
            own += [
                one
                for one in self.items.described.get(self.items.main, ())
                if one.name == b"colr" and one.body.startswith(b"nclx")
            ]
        heic = load_heic(_single(self.items.data_of(item), own))
        if heic.size != self.tile or heic.mode != "RGB":
            raise PhotoRefused(UNREADABLE)
        return Image.frombytes("RGB", self.tile, heic.data, "raw", "RGB", heic.stride)


def read_grid(data: bytes) -> Grid | None:
    """The main picture of a HEIC as a grid, or None where it is not a plain one.

    Plain is: tiles coded each by itself, of 256 pixels and more, in rows of 20 megapixels at most;
    nothing to see through, nothing cropped. PhotoRefused where the tables of the file are damaged,
    or its tiles do not fill the picture.
    """
    items = read_items(data)
    own = items.described.get(items.main, ())
    tiles = items.parts.get(items.main, ())
    kinds = {items.kinds.get(tile) for tile in tiles}
    is_plain = items.kinds.get(items.main) == b"grid" and kinds == {b"hvc1"}
    if not is_plain or items.main in items.helped or any(one.name == b"clap" for one in own):
        return None
    rows, columns, size = _layout(items.data_of(items.main))
    tile = _size(items.described.get(tiles[0], ()))
    fits = all(
        (count - 1) * side < whole <= count * side
        for count, side, whole in zip((columns, rows), tile, size, strict=True)
    )
    if not fits or len(tiles) != rows * columns:
        raise PhotoRefused(UNREADABLE)
    if min(tile) < LEAST_TILE_PX or columns * tile[0] * tile[1] > MOST_ROW_PX:
        return None
    turns = tuple(one for one in own if one.name in _TURNS and one.body)
    return Grid(items, tiles, columns, rows, tile, size, turns)


def _layout(told: bytes) -> tuple[int, int, tuple[int, int]]:
    """Rows, columns and (width, height) of a grid (6.6.2.3.2)."""
    form = ">BBBBII" if told[1:2] == b"\1" else ">BBBBHH"
    if len(told) != struct.calcsize(form):
        raise PhotoRefused(UNREADABLE)
    _, _, rows, columns, width, height = struct.unpack(form, told)
    return rows + 1, columns + 1, (width, height)


def _size(described: tuple[Property, ...]) -> tuple[int, int]:
    """(width, height) that an item's `ispe` states; (0, 0) where it has none."""
    for one in described:
        if one.name == b"ispe" and len(one.body) >= 12:
            width, height = struct.unpack(">II", one.body[4:12])
            return width, height
    return 0, 0


def _single(coded: bytes, described: list[Property]) -> bytes:
    """A HEIC of one coded picture with the properties it had in the file it comes from."""
    hdlr = _full(b"hdlr", b"\0\0\0\0pict" + bytes(13))
    pitm = _full(b"pitm", b"\0\1")
    infe = _full(b"infe", b"\0\1\0\0hvc1\0", version=2)
    iinf = _full(b"iinf", b"\0\1" + infe)
    ipco = _box(b"ipco", b"".join(one.box for one in described))
    numbers = bytes(0x80 | n for n in range(1, len(described) + 1))
    ipma = _full(b"ipma", b"\0\0\0\1\0\1" + bytes((len(described),)) + numbers)
    iprp = _box(b"iprp", ipco + ipma)

    def with_place(at: int) -> bytes:
        place = struct.pack(">HHHHHII", 0x4400, 1, 1, 0, 1, at, len(coded))
        return _FTYP + _full(b"meta", hdlr + pitm + iinf + iprp + _full(b"iloc", place))

    start = len(with_place(0)) + 8
    return with_place(start) + _box(b"mdat", coded)


def _box(name: bytes, body: bytes) -> bytes:
    return (8 + len(body)).to_bytes(4, "big") + name + body


def _full(name: bytes, body: bytes, version: int = 0) -> bytes:
    return _box(name, bytes((version, 0, 0, 0)) + body)
