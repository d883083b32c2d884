"""Where a photo belongs: by the card in the picture, else by memory; by position only the lot.

A phone's position is good enough to tell one site from the next, and no more: it never names a
panel, and never overrules what is written on the card. Common practice, no source.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from shapely import Point, Polygon

from registry.imaging.stamps import Position
from registry.unit_table import FOOT

LonLat = tuple[float, float]

# A phone under open sky is within about 5 m, beside buildings two or three times that. Taken
# where the device states no error of its own; common practice, no source.
UNSTATED_ERROR_M = 15.0
# One degree of latitude, within 1 % everywhere on the ellipsoid.
M_PER_DEGREE = 111_320.0


class KnownBy(StrEnum):
    CARD = "card"
    MEMORY = "memory"
    POSITION = "position"
    NOT_PLACED = "not placed"


@dataclass(frozen=True)
class Lot:
    """One pavement on earth: a key of the caller's, the name people use, its outline."""

    key: str
    name: str
    outline: tuple[LonLat, ...]


@dataclass(frozen=True)
class SaidPlace:
    """A place that a card or a person names; the panel as written, None for the whole lot."""

    lot_key: str
    panel: str | None


@dataclass(frozen=True)
class PhotoPlace:
    """Where the photo is filed and by what; doubts are for a person, and change nothing.

    lots_near  keys of the lots the position may lie in, nearest first
    """

    lot_key: str | None
    panel: str | None
    known_by: KnownBy
    doubts: tuple[str, ...]
    lots_near: tuple[str, ...]


def place_by(
    card: SaidPlace | None,
    memory: SaidPlace | None,
    position: Position | None,
    lots: Sequence[Lot],
) -> PhotoPlace:
    """Place a photo: what the card says, else what somebody remembers, else the lot alone.

    The position picks a lot only where its circle of error touches one lot and no other. It
    raises a doubt where the lot said by card or memory lies outside that circle, or where card
    and memory differ. ValueError, a mistake of ours, if a said lot is not among `lots`.
    """
    known = {lot.key: lot for lot in lots}
    said = card or memory
    doubts = []
    if card and memory and card != memory:
        doubts.append(
            f"The card says {_words(card, known)}, memory says {_words(memory, known)}; "
            "the card is followed."
        )
    near = _lots_near(position, lots) if position else ()
    if said:
        if position and known[said.lot_key].outline:
            doubts += _position_doubt(said, position, near, known)
        by = KnownBy.CARD if card else KnownBy.MEMORY
        return PhotoPlace(said.lot_key, said.panel, by, tuple(doubts), near)
    if len(near) == 1:
        return PhotoPlace(near[0], None, KnownBy.POSITION, (), near)
    if near:
        names = ", ".join(known[key].name for key in near)
        doubts.append(f"By its position the photo may be of any of these: {names}.")
    return PhotoPlace(None, None, KnownBy.NOT_PLACED, tuple(doubts), near)


def _words(said: SaidPlace, known: dict[str, Lot]) -> str:
    panel = f", panel {said.panel}" if said.panel else ""
    return f"{known[said.lot_key].name}{panel}"


def _position_doubt(
    said: SaidPlace, position: Position, near: Sequence[str], known: dict[str, Lot]
) -> list[str]:
    lot = known[said.lot_key]
    away_m = distance_m(position, lot)
    inside = [known[key] for key in near if distance_m(position, known[key]) == 0]
    if away_m == 0:
        return []
    if inside:
        elsewhere = f" in {inside[0].name},"
    elif lot.key not in near:
        elsewhere = ""
    else:
        return []
    stated = (
        f"its device states ± {_both_units(position.error_m)}"
        if position.error_m is not None
        else "its device states no error"
    )
    return [
        f"The photo's position lies{elsewhere} {_both_units(away_m)} from {lot.name}; {stated}. "
        f"{_words(said, known)} is kept: a position only tells one site from the next."
    ]


def _both_units(metres: float) -> str:
    return f"{metres:.0f} m ({metres / FOOT:.0f} ft)"


def _lots_near(position: Position, lots: Sequence[Lot]) -> tuple[str, ...]:
    reach_m = UNSTATED_ERROR_M if position.error_m is None else position.error_m
    distances = [(distance_m(position, lot), lot.key) for lot in lots if lot.outline]
    return tuple(key for away_m, key in sorted(distances) if away_m <= reach_m)


def distance_m(position: Position, lot: Lot) -> float:
    """Metres from the position to the outline, 0 inside; flat around the position.

    Good to 1 % over the few kilometres in which lots are told apart.
    """
    shrink = math.cos(math.radians(position.lat))
    ring = [
        ((lon - position.lon) * M_PER_DEGREE * shrink, (lat - position.lat) * M_PER_DEGREE)
        for lon, lat in lot.outline
    ]
    return float(Polygon(ring).distance(Point(0, 0)))


FAR_M = 1_000.0


def far_from(position: Position, name: str, lonlat: LonLat) -> str | None:
    """The doubt where a position lies over a kilometre from a site; None where it does not.

    For sites whose pavements have no outline on earth yet, and only a point on the map.
    """
    shrink = math.cos(math.radians(position.lat))
    east_m = (lonlat[0] - position.lon) * M_PER_DEGREE * shrink
    away_m = math.hypot(east_m, (lonlat[1] - position.lat) * M_PER_DEGREE)
    if away_m <= FAR_M + (position.error_m or UNSTATED_ERROR_M):
        return None
    return (
        f"The photo's position lies {away_m / 1000:.1f} km ({away_m / (5280 * FOOT):.1f} miles) "
        f"from {name}. Is it of this site?"
    )
