"""Writing a place the way the plan's sheet prints it; `reading.py` reads it back the same."""

from registry.plan.lengths import metres_from, to_tape, write_length, written_from
from registry.plan.places import (
    Extent,
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

_HUNDRED = 100


def write_place(place: Place, system: System) -> str:
    """The one way a place is written: `C8 · 3.2 R · 8.5 U`, `1+42.5 L 3.0`, `g(2,1)`."""
    match place:
        case PanelPlace():
            return _panel(place, system)
        case PanelLine():
            points = (f"R {_one(right, system)} U {_one(up, system)}" for right, up in place.points)
            return f"{place.panel}, from {' to '.join(points)}"
        case JointPlace():
            if place.along is None:
                return f"{place.first}|{place.second}"
            along = _span(place.along, system)
            return f"{place.first}|{place.second} {place.measure} {along}"
        case PanelRunPlace():
            strip = (
                f"{letter} {_span(span, system)}"
                for letter, span in (("R", place.right), ("U", place.up))
                if span is not None
            )
            return ", ".join((f"{place.first}-{place.last}", *strip))
        case StationPlace():
            return _station(place, system)
        case SquarePlace():
            return _square(place, system)


def write_station(station_m: float, system: System) -> str:
    """Hundreds and the rest of a station: 43.434 m on a plan in ft is "1+42.5"."""
    written = written_from(station_m, system)
    hundreds, rest = divmod(written, _HUNDRED)
    text = write_length(metres_from(round(rest, 4), system), system, least_digits=0)
    if text == str(_HUNDRED):  # 99.99999 ft is written as the next hundred
        hundreds, text = hundreds + 1, "0"
    whole, _, decimals = text.partition(".")
    return f"{int(hundreds)}+{whole.zfill(2)}{'.' + decimals if decimals else ''}"


def write_offset(offset_m: float, system: System) -> str:
    """ "L 3.0" or "R 1.5"; on the line itself "R 0.0"."""
    return f"{'L' if offset_m < 0 else 'R'} {_one(abs(offset_m), system)}"


def _one(value_m: float, system: System) -> str:
    return write_length(value_m, system)


def _span(span: Span, system: System) -> str:
    if span.is_point:
        return _one(span.start_m, system)
    return f"{_one(span.start_m, system)}-{_one(span.stop_m, system)}"


def _short(span: Span, system: System) -> str:
    """An area's measure: whole numbers stay whole, 0-12."""
    if span.is_point:
        return _one(span.start_m, system)
    ends = (write_length(value, system, least_digits=0) for value in (span.start_m, span.stop_m))
    return "-".join(ends)


def _panel(place: PanelPlace, system: System) -> str:
    if place.extent == Extent.SOMEWHERE:
        return str(place.panel)
    if place.extent == Extent.WHOLE:
        return f"{place.panel} whole"
    parts = [str(place.panel)]
    if place.right is not None:
        parts.append(f"{_short(place.right, system)} R")
    if place.up is not None:
        parts.append(f"{_short(place.up, system)} U")
    return " · ".join(parts)


def _station(place: StationPlace, system: System) -> str:
    start = write_station(place.station.start_m, system)
    stop = write_station(place.station.stop_m, system)
    if place.line_to_m is not None and place.offset is not None:
        begin = write_offset(place.offset.start_m, system)
        return f"from {start} {begin} to {stop} {write_offset(place.line_to_m, system)}"
    text = start if place.station.is_point else f"{start} to {stop}"
    if place.offset is None:
        return text
    comma = "" if place.station.is_point else ","
    return f"{text}{comma} {_offset_span(place.offset, system)}"


def _offset_span(offset: Span, system: System) -> str:
    if offset.is_point:
        return write_offset(offset.start_m, system)
    if offset.start_m < 0 < offset.stop_m:
        return " to ".join(
            f"{side} {write_length(value, system, least_digits=0)}"
            for side, value in (("L", -offset.start_m), ("R", offset.stop_m))
        )
    left = offset.stop_m <= 0
    near, far = sorted((abs(offset.start_m), abs(offset.stop_m)))
    return f"{'L' if left else 'R'} {_short(Span(near, far), system)}"


def _square(place: SquarePlace, system: System) -> str:
    text = f"g({place.right},{place.up})"
    if place.to_right is not None:
        return f"{text}-g({place.to_right},{place.to_up})"
    if place.in_square is not None:
        right, up = place.in_square
        return f"{text} · {_short(right, system)} R · {_short(up, system)} U"
    return text


def rounded(place: Place, system: System) -> Place:
    """The place to what a tape gives (0.1 ft or 1 cm); for places found by a tap or a drag."""

    def near(span: Span | None) -> Span | None:
        if span is None:
            return None
        return Span(to_tape(span.start_m, system), to_tape(span.stop_m, system))

    match place:
        case PanelPlace():
            return PanelPlace(place.panel, near(place.right), near(place.up), place.extent)
        case PanelLine():
            points = ((to_tape(right, system), to_tape(up, system)) for right, up in place.points)
            return PanelLine(place.panel, tuple(points))
        case JointPlace():
            return JointPlace(place.first, place.second, place.measure, near(place.along))
        case PanelRunPlace():
            return PanelRunPlace(place.first, place.last, near(place.right), near(place.up))
        case StationPlace():
            line_to = None if place.line_to_m is None else to_tape(place.line_to_m, system)
            return StationPlace(near(place.station) or at(0.0), near(place.offset), line_to)
        case SquarePlace() if place.in_square is not None:
            right, up = place.in_square
            spans = (near(right) or right, near(up) or up)
            return SquarePlace(place.right, place.up, in_square=spans)
        case SquarePlace():
            return place
