"""Longitude and latitude of every place, from the datum's position and the bearing of up.

The plan is laid flat around the datum by the azimuthal equidistant projection on the WGS 84
ellipsoid: distances and bearings from the datum are true, which is how a plan is taped.
(Snyder 1987, Map Projections: A Working Manual, USGS Professional Paper 1395, chapter 25;
PROJ's `aeqd` uses the geodesic of Karney 2013.)
"""

import math
from collections.abc import Sequence
from functools import lru_cache

from pyproj import Proj

from registry.plan.datum import Datum
from registry.plan.faults import EarthError
from registry.plan.points import Point
from registry.plan.shapes import PlanShape

FARTHEST_M = 20_000.0  # a pavement is not wider; beyond it a position belongs to another site


@lru_cache(maxsize=256)
def _around(lon: float, lat: float) -> Proj:
    return Proj(proj="aeqd", lon_0=lon, lat_0=lat, ellps="WGS84")


def _frame(datum: Datum) -> tuple[Proj, float, float]:
    """Projection around the datum, and sine and cosine of the bearing of up."""
    if datum.lonlat is None:
        raise EarthError("The datum has no longitude and latitude yet, so places have none.")
    if datum.bearing_of_up_deg is None:
        raise EarthError("The bearing of up is not known yet, so places have no position on earth.")
    bearing = math.radians(datum.bearing_of_up_deg)
    return (_around(*datum.lonlat), math.sin(bearing), math.cos(bearing))


def to_lonlat(datum: Datum, right_m: float, up_m: float) -> Point:
    """Plan coordinates in metres -> (longitude, latitude) in degrees, WGS 84.

    Raises EarthError when the datum's position or the bearing of up is not known.
    """
    projection, sine, cosine = _frame(datum)
    east = up_m * sine + right_m * cosine
    north = up_m * cosine - right_m * sine
    lon, lat = projection(east, north, inverse=True)
    return (lon, lat)


def from_lonlat(datum: Datum, lon: float, lat: float) -> Point:
    """(longitude, latitude) in degrees -> plan coordinates (right_m, up_m): the way back.

    Raises EarthError for a position farther than 20 km from the datum.
    """
    projection, sine, cosine = _frame(datum)
    east, north = projection(lon, lat)
    if not math.hypot(east, north) <= FARTHEST_M:
        raise EarthError("That position is more than 20 km from the datum of this plan.")
    return (east * cosine - north * sine, east * sine + north * cosine)


def ring_to_lonlat(datum: Datum, points: Sequence[Point]) -> tuple[Point, ...]:
    """Corners of an outline as longitudes and latitudes, in the same order."""
    return tuple(to_lonlat(datum, *point) for point in points)


def to_geojson(shape: PlanShape, datum: Datum) -> dict[str, object]:
    """GeoJSON geometry (RFC 7946) of a place: Point, LineString, Polygon or MultiPolygon."""
    if shape.rings:
        rings = [[_closed(ring_to_lonlat(datum, ring))] for ring in map(_turned_left, shape.rings)]
        if len(rings) == 1:
            return {"type": "Polygon", "coordinates": rings[0]}
        return {"type": "MultiPolygon", "coordinates": rings}
    points = [list(point) for point in ring_to_lonlat(datum, shape.points)]
    if len(points) == 1:
        return {"type": "Point", "coordinates": points[0]}
    return {"type": "LineString", "coordinates": points}


def _closed(ring: Sequence[Point]) -> list[list[float]]:
    return [list(point) for point in (*ring, ring[0])]


def _turned_left(ring: tuple[Point, ...]) -> tuple[Point, ...]:
    """Counterclockwise, as RFC 7946 section 3.1.6 wants an outer ring."""
    following = (*ring[1:], ring[0])
    doubled = sum(
        one[0] * two[1] - two[0] * one[1] for one, two in zip(ring, following, strict=True)
    )
    return ring if doubled > 0 else ring[::-1]
