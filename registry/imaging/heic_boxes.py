"""The boxes of a HEIC in which its pictures are named, described and found.

ISO/IEC 14496-12, 4.2 (boxes) and 8.11 (items: `pitm iinf iref iloc idat`); ISO/IEC 23008-12, 9.3
(`iprp`: properties of items). Only what heic_grid.py needs is read.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from registry.imaging.faults import PhotoRefused
from registry.imaging.wholeness import CUT_SHORT

MOST_ITEMS = 70_000  # a picture of 256 x 256 tiles has 65 537
_IN_FILE, _IN_META = 0, 1
Part = TypeVar("Part", bytes, memoryview)
_LONG = {0: 0, 4: 4, 8: 8}


@dataclass(frozen=True)
class Property:
    """One property of an item: its four letters, and the whole box as it stands in the file."""

    name: bytes
    box: bytes

    @property
    def body(self) -> bytes:
        """What stands in the box behind its length and name."""
        return self.box[8:]


@dataclass(frozen=True)
class Items:
    """The items of a HEIC by their numbers.

    main        number of the picture that the file says is the photo
    kinds       four letters each: `hvc1` a coded picture, `grid` one put together of others
    parts       the items that a `grid` is put together of, in order
    described   the properties of each, in the order in which they are to be applied
    helped      numbers of the items that another belongs to as its transparency or depth
    """

    main: int
    kinds: Mapping[int, bytes]
    parts: Mapping[int, tuple[int, ...]]
    described: Mapping[int, tuple[Property, ...]]
    helped: frozenset[int]
    places: Mapping[int, tuple[int, tuple[tuple[int, int], ...]]]
    file: bytes
    meta_data: bytes

    def data_of(self, item: int) -> bytes:
        """The bytes of an item; PhotoRefused where they lie outside the file."""
        where, extents = self.places.get(item, (-1, ()))
        source = {_IN_FILE: self.file, _IN_META: self.meta_data}.get(where)
        if source is None:
            raise PhotoRefused(CUT_SHORT)
        parts = []
        for start, length in extents:
            if not length or start + length > len(source):
                raise PhotoRefused(CUT_SHORT)
            parts.append(source[start : start + length])
        return b"".join(parts)


def read_items(data: bytes) -> Items:
    """Read the items of a HEIC; PhotoRefused where their tables are cut short or none."""
    try:
        # Not a copy of the pixels that lie beside it.
        meta = bytes(dict(boxes(memoryview(data)))[b"meta"])
        told = dict(boxes(meta[4:]))
        properties = dict(boxes(told[b"iprp"]))
        parts, helped = _references(told.get(b"iref", b"\0\0\0\0"))
        return Items(
            main=_main(told[b"pitm"]),
            kinds=_kinds(told[b"iinf"]),
            parts=parts,
            described=_described(properties[b"ipco"], properties[b"ipma"]),
            helped=helped,
            places=_places(told[b"iloc"]),
            file=data,
            meta_data=told.get(b"idat", b""),
        )
    except (KeyError, IndexError) as fault:
        raise PhotoRefused(CUT_SHORT) from fault


def boxes(data: Part) -> Iterator[tuple[bytes, Part]]:
    """Yield name and body of each box in `data`; PhotoRefused where one ends outside it."""
    at = 0
    while at + 8 <= len(data):
        size, header = int.from_bytes(data[at : at + 4], "big"), 8
        if size == 1:
            size, header = int.from_bytes(data[at + 8 : at + 16], "big"), 16
        elif size == 0:
            size = len(data) - at
        if size < header or at + size > len(data):
            raise PhotoRefused(CUT_SHORT)
        yield bytes(data[at + 4 : at + 8]), data[at + header : at + size]
        at += size


class _Reader:
    """Numbers one after the other, big end first; PhotoRefused at the end of the bytes."""

    def __init__(self, data: bytes) -> None:
        self.data, self.at = data, 0

    def number(self, length: int) -> int:
        part = self.take(length)
        return int.from_bytes(part, "big")

    def take(self, length: int) -> bytes:
        if self.at + length > len(self.data):
            raise PhotoRefused(CUT_SHORT)
        self.at += length
        return self.data[self.at - length : self.at]

    def count(self, length: int) -> range:
        """As many turns as the next number says, a number beyond MOST_ITEMS refused."""
        found = self.number(length)
        if found > MOST_ITEMS:
            raise PhotoRefused(CUT_SHORT)
        return range(found)


def _main(body: bytes) -> int:
    reader = _Reader(body)
    version = reader.number(4) >> 24
    return reader.number(4 if version else 2)


def _kinds(body: bytes) -> dict[int, bytes]:
    reader = _Reader(body)
    entries = 4 if reader.number(4) >> 24 else 2
    reader.count(entries)
    kinds = {}
    for name, entry in boxes(body[reader.at :]):
        if name == b"infe":
            part = _Reader(entry)
            version = part.number(4) >> 24
            item = part.number(2 if version <= 2 else 4)
            part.number(2)
            kinds[item] = part.take(4)
    return kinds


def _references(body: bytes) -> tuple[dict[int, tuple[int, ...]], frozenset[int]]:
    width = 4 if _Reader(body).number(4) >> 24 else 2
    parts: dict[int, tuple[int, ...]] = {}
    helped: set[int] = set()
    for name, entry in boxes(body[4:]):
        reader = _Reader(entry)
        item = reader.number(width)
        to = tuple(reader.number(width) for _ in reader.count(2))
        if name == b"dimg":
            parts[item] = to
        elif name == b"auxl":
            helped.update(to)
    return parts, frozenset(helped)


def _described(kept: bytes, told: bytes) -> dict[int, tuple[Property, ...]]:
    every = [
        Property(name, (8 + len(body)).to_bytes(4, "big") + name + body)
        for name, body in boxes(kept)
    ]
    reader = _Reader(told)
    head = reader.number(4)
    item_bytes, is_wide = (4 if head >> 24 else 2), bool(head & 1)
    described = {}
    for _ in reader.count(4):
        item = reader.number(item_bytes)
        numbers = [reader.number(2 if is_wide else 1) for _ in reader.count(1)]
        below = 0x7FFF if is_wide else 0x7F  # the upper bit says that it is essential
        described[item] = tuple(every[(n & below) - 1] for n in numbers if n & below)
    return described


def _places(body: bytes) -> dict[int, tuple[int, tuple[tuple[int, int], ...]]]:
    """Item -> (whether in the file or in `idat`, extents as (start, length))."""
    reader = _Reader(body)
    version = reader.number(4) >> 24
    widths = reader.number(2)
    offset, length, base = (_LONG[widths >> shift & 15] for shift in (12, 8, 4))
    index = _LONG[widths & 15] if version else 0
    wide = 4 if version == 2 else 2
    places = {}
    for _ in reader.count(wide):
        item = reader.number(wide)
        where = reader.number(2) & 15 if version else _IN_FILE
        reader.number(2)  # in this file
        start = reader.number(base)
        extents = []
        for _ in reader.count(2):
            reader.number(index)
            extents.append((start + reader.number(offset), reader.number(length)))
        places[item] = (where, tuple(extents))
    return places
