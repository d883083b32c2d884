"""Reading places as crews write them: `C8 · 3.2 R · 8.5 U`, `A2, R 5.0 U 7.5`, `1+42.5 L 3.0`.

Decimal point or comma, blank, comma or dot between parts, hyphen or dash in a range, all read.
What cannot be read is refused with an example; nothing is guessed.
"""

import re

from registry.plan.faults import PlaceError
from registry.plan.lengths import metres_from
from registry.plan.panels import PanelName, read_panel_name
from registry.plan.places import (
    Extent,
    JointMeasure,
    JointPlace,
    PanelLine,
    PanelPlace,
    PanelRunPlace,
    Place,
    Span,
    SquarePlace,
    StationPlace,
    at,
)
from registry.units import System

_EXAMPLES = (
    "Write for example C8 · 3.2 R · 8.5 U, D10 · 0-12 R · 2-9 U, C4 whole, C8|B8 U 1-10, "
    "1+42.5 L 3.0 or g(2,1)."
)
_NUMBER = r"\d+(?:\.\d+)?"
_PANEL = r"[A-Za-z]{1,2}\d{1,3}[A-Za-z]*"
_STATION = rf"\d+\+{_NUMBER}"
_RANGE = rf"{_NUMBER}(?:\s*(?:-|to)\s*{_NUMBER})?"
_SQUARE = r"g\s*\(\s*(\d+)\s+(\d+)\s*\)"

_PANEL_HEAD = re.compile(rf"({_PANEL})(?:\s+(.*))?")
_JOINT_HEAD = re.compile(rf"({_PANEL})\s*[|/]\s*({_PANEL})(?:\s+joint)?(?:\s+(.*))?", re.I)
_RUN_HEAD = re.compile(rf"({_PANEL})\s*(?:-|to)\s*({_PANEL})(?:\s+(.*))?", re.I)
_SQUARE_HEAD = re.compile(rf"{_SQUARE}(?:\s*(?:-|to)\s*{_SQUARE})?(?:\s+(.*))?", re.I)
_STATION_HEAD = re.compile(rf"({_STATION})(?:\s*(?:-|to)\s*({_STATION}))?(?:\s+(.*))?", re.I)
_STATION_LINE = re.compile(
    rf"from\s+({_STATION})\s+([LR])\s*({_NUMBER})\s+to\s+({_STATION})\s+([LR])\s*({_NUMBER})", re.I
)
_MEASURE = re.compile(rf"([RU])\s*({_RANGE})|({_RANGE})\s*([RU])", re.I)
_POINT_OF_LINE = re.compile(rf"R\s*({_NUMBER})\s*U\s*({_NUMBER})", re.I)
_OFFSET = re.compile(rf"([LR])\s*({_RANGE})", re.I)
_OFFSET_ACROSS = re.compile(rf"L\s*({_NUMBER})\s*(?:-|to)\s*R\s*({_NUMBER})", re.I)


def read_place(text: str, system: System) -> Place:
    """Read a place written on a plan of `system` (ft or m). Raises PlaceError in plain words."""
    plain = _plain(text)
    if not plain:
        raise PlaceError(f"No place is written. {_EXAMPLES}")
    for pattern, reader in (
        (_STATION_LINE, _station_line),
        (_STATION_HEAD, _station),
        (_SQUARE_HEAD, _square),
        (_JOINT_HEAD, _joint),
        (_RUN_HEAD, _run),
        (_PANEL_HEAD, _panel),
    ):
        found = pattern.fullmatch(plain)
        if found is not None:
            return reader(found, text.strip(), system)
    raise PlaceError(f'"{text.strip()}" cannot be read as a place. {_EXAMPLES}')


def _plain(text: str) -> str:
    """One kind of hyphen, decimal point, blanks for everything that only parts words."""
    plain = re.sub(r"[‐-―−]", "-", text.strip())
    plain = re.sub(r"\(\s*(\d+)\s*[,;]\s*(\d+)\s*\)", r"(\1 \2)", plain)
    plain = re.sub(r"(?<=\d),(?=\d)", ".", plain)
    return re.sub(r"[\s,;:·]+", " ", plain).strip()


def _metres(number: str, system: System) -> float:
    return metres_from(float(number), system)


def _span(written: str, system: System) -> Span:
    ends = re.split(r"\s*(?:-|to)\s*", written, flags=re.I)
    if len(ends) == 1:
        return at(_metres(ends[0], system))
    start, stop = (_metres(end, system) for end in ends)
    if start == stop:
        raise PlaceError(f"{written} is not a range; write one number for a point.")
    return Span(start, stop)


def _measures(rest: str, written: str, system: System) -> tuple[Span | None, Span | None]:
    """R and U in either order, number before or after its letter."""
    spans: dict[str, Span] = {}
    left = rest
    while left:
        found = _MEASURE.match(left)
        if found is None:
            raise PlaceError(
                f'"{left}" in "{written}" cannot be read; write R and U with a number each, '
                "right and up from the home corner."
            )
        letter = (found[1] or found[4]).upper()
        if letter in spans:
            raise PlaceError(f'"{written}" gives {letter} twice.')
        spans[letter] = _span(found[2] or found[3], system)
        left = left[found.end() :].strip()
    return (spans.get("R"), spans.get("U"))


def _panel(found: re.Match[str], written: str, system: System) -> Place:
    name, rest = read_panel_name(found[1]), (found[2] or "").strip()
    if not rest:
        return PanelPlace(name, extent=Extent.SOMEWHERE)
    if rest.lower() in ("whole", "whole panel", "all"):
        return PanelPlace(name, extent=Extent.WHOLE)
    if rest.lower().startswith("from "):
        return _line(name, rest[5:], written, system)
    right, up = _measures(rest, written, system)
    return PanelPlace(name, right, up)


def _line(name: PanelName, rest: str, written: str, system: System) -> PanelLine:
    points = []
    for part in re.split(r"\s+to\s+", rest, flags=re.I):
        found = _POINT_OF_LINE.fullmatch(part.strip())
        if found is None:
            raise PlaceError(
                f'"{written}" is not a line; write A3, from R 0 U 5.8 to R 11.5 U 6.1.'
            )
        points.append((_metres(found[1], system), _metres(found[2], system)))
    return PanelLine(name, tuple(points))


def _joint(found: re.Match[str], written: str, system: System) -> JointPlace:
    first, second = read_panel_name(found[1]), read_panel_name(found[2])
    rest = (found[3] or "").strip()
    if rest.lower() in ("", "joint"):
        return JointPlace(first, second)
    right, up = _measures(rest, written, system)
    if right is not None and up is not None:
        raise PlaceError(f'"{written}": along a joint there is one measure, R or U.')
    measure = JointMeasure.RIGHT if right is not None else JointMeasure.UP
    return JointPlace(first, second, measure, right if right is not None else up)


def _run(found: re.Match[str], written: str, system: System) -> PanelRunPlace:
    first, last = read_panel_name(found[1]), read_panel_name(found[2])
    rest = (found[3] or "").strip()
    right, up = _measures(rest, written, system)
    return PanelRunPlace(first, last, right, up)


def _station_m(written: str, system: System) -> float:
    hundreds, rest = written.split("+")
    if float(rest) >= 100:
        raise PlaceError(f'"{written}" is not a station; after the + stands less than 100.')
    whole, _, decimals = rest.partition(".")
    return metres_from(float(f"{hundreds}{whole.zfill(2)}.{decimals or 0}"), system)


def _station(found: re.Match[str], written: str, system: System) -> StationPlace:
    start = _station_m(found[1], system)
    station = Span(start, _station_m(found[2], system)) if found[2] else at(start)
    rest = (found[3] or "").strip()
    if not rest:
        return StationPlace(station)
    across = _OFFSET_ACROSS.fullmatch(rest)
    if across is not None:
        ends = (-_metres(across[1], system), _metres(across[2], system))
        return StationPlace(station, Span(*ends))
    offset = _OFFSET.fullmatch(rest)
    if offset is None:
        raise PlaceError(f'"{rest}" in "{written}" cannot be read; write L or R and how far.')
    span = _span(offset[2], system)
    if offset[1].upper() == "L":
        span = Span(0.0 - span.stop_m, 0.0 - span.start_m)
    return StationPlace(station, span)


def _station_line(found: re.Match[str], written: str, system: System) -> StationPlace:
    start, stop = _station_m(found[1], system), _station_m(found[4], system)
    begin, end = (
        (0.0 - _metres(number, system)) if side.upper() == "L" else _metres(number, system)
        for side, number in ((found[2], found[3]), (found[5], found[6]))
    )
    if stop < start:
        raise PlaceError(f'"{written}" runs down; write the lower station first.')
    return StationPlace(Span(start, stop), at(begin), end)


def _square(found: re.Match[str], written: str, system: System) -> SquarePlace:
    right, up = int(found[1]), int(found[2])
    rest = (found[5] or "").strip()
    to_right, to_up = (int(found[3]), int(found[4])) if found[3] else (None, None)
    if not rest:
        return SquarePlace(right, up, to_right, to_up)
    inside_right, inside_up = _measures(rest, written, system)
    if inside_right is None or inside_up is None:
        raise PlaceError(f'"{written}" needs both R and U in the square.')
    return SquarePlace(right, up, to_right, to_up, (inside_right, inside_up))
