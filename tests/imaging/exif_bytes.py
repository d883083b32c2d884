"""Exif written byte by byte from the published tables, so that no reader checks itself.

Layout: TIFF 6.0 section 2; tag numbers and types: CIPA DC-008 / JEITA CP-3451, Exif 2.32, 4.6.
"""

import struct
from fractions import Fraction

ASCII, SHORT, LONG, RATIONAL = 2, 3, 4, 5
Value = tuple[int, int, bytes]  # type, count, bytes


def text(words: str) -> Value:
    data = words.encode("ascii") + b"\0"
    return ASCII, len(data), data


def short(number: int) -> Value:
    return SHORT, 1, struct.pack("<H", number)


def rationals(*numbers: float | str) -> Value:
    """Each number as the nearest fraction over at most 10 000; "0/0" is written as it stands."""
    data = b""
    for number in numbers:
        if isinstance(number, str):
            above, below = (int(part) for part in number.split("/"))
        else:
            near = Fraction(number).limit_denominator(10_000)
            above, below = near.numerator, near.denominator
        data += struct.pack("<II", above, below)
    return RATIONAL, len(numbers), data


def tiff(
    main: dict[int, Value],
    exif: dict[int, Value] | None = None,
    gps: dict[int, Value] | None = None,
) -> bytes:
    """Three tables as one little-endian TIFF."""
    main = dict(main)
    tables = [(0x8769, exif), (0x8825, gps)]
    for pointer, table in tables:
        if table:
            main[pointer] = (LONG, 1, b"\0\0\0\0")
    at = 8 + len(_table(main, 8))
    after = b""
    for pointer, table in tables:
        if table:
            main[pointer] = (LONG, 1, struct.pack("<I", at + len(after)))
            after += _table(table, at + len(after))
    return b"II*\0" + struct.pack("<I", 8) + _table(main, 8) + after


def _table(entries: dict[int, Value], at: int) -> bytes:
    """One table of tags standing at byte `at`, its longer values behind it."""
    behind_at = at + 2 + 12 * len(entries) + 4
    rows, behind = b"", b""
    for tag, (kind, count, data) in sorted(entries.items()):
        if len(data) <= 4:
            value = data.ljust(4, b"\0")
        else:
            value = struct.pack("<I", behind_at + len(behind))
            behind += data + b"\0" * (len(data) % 2)
        rows += struct.pack("<HHI", tag, kind, count) + value
    return struct.pack("<H", len(entries)) + rows + b"\0\0\0\0" + behind


def taken(
    time: str | None = "2024:04:18 14:20:00",
    *,
    offset: str | None = None,
    make: str = "Acme",
    model: str = "Pocket 3",
    orientation: int | None = None,
    position: tuple[float, float] | None = None,
    error_m: float | None = None,
    direction: float | None = None,
) -> bytes:
    """The tags of an ordinary photo; position is (longitude, latitude) in degrees."""
    main = {0x010F: text(make), 0x0110: text(model), 0x0132: text("2025:01:01 00:00:00")}
    if orientation is not None:
        main[0x0112] = short(orientation)
    exif = {}
    if time is not None:
        exif[0x9003] = text(time)
    if offset is not None:
        exif[0x9011] = text(offset)
    gps = {}
    if position is not None:
        lon, lat = position
        gps = {
            0x01: text("N" if lat >= 0 else "S"),
            0x02: _degrees(abs(lat)),
            0x03: text("E" if lon >= 0 else "W"),
            0x04: _degrees(abs(lon)),
            0x07: rationals(18, 20, 1),
            0x1D: text("2024:04:18"),
        }
    if error_m is not None:
        gps[0x1F] = rationals(error_m)
    if direction is not None:
        gps |= {0x10: text("T"), 0x11: rationals(direction)}
    return tiff(main, exif, gps)


def _degrees(value: float) -> Value:
    whole = int(value)
    minutes = int((value - whole) * 60)
    return rationals(whole, minutes, ((value - whole) * 60 - minutes) * 60)
