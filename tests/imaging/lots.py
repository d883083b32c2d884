"""Two lots side by side on earth, for photos."""

import math

from registry.imaging import Lot, Position

FT = 0.3048
HOME = (-71.4, 41.8)
_NORTH = 1 / 111_074.0  # degrees a metre at 41.8 N on WGS 84: NGA.STND.0036, series of the meridian
_EAST = 1 / (111_320.0 * math.cos(math.radians(41.8)) * 1.0015)


def at(east_m: float, north_m: float) -> tuple[float, float]:
    """Longitude and latitude so many metres from the lots' corner."""
    return HOME[0] + east_m * _EAST, HOME[1] + north_m * _NORTH


def position(east_m: float, north_m: float, error_m: float | None = 4.0) -> Position:
    lon, lat = at(east_m, north_m)
    return Position(lon, lat, error_m)


def lot(key: str, west_m: float, east_m: float) -> Lot:
    corners = ((west_m, 0), (east_m, 0), (east_m, 40), (west_m, 40))
    return Lot(key, f"{key.title()} lot", tuple(at(*corner) for corner in corners))


OURS, NEIGHBOUR, FAR = lot("canal", 0, 30), lot("mill", 30, 60), lot("hill", 500, 530)
LOTS = (OURS, NEIGHBOUR, FAR)
