"""The list of defects as GeoJSON, read by libraries of others (shapely, pyproj), per RFC 7946."""

import json

import pytest
import shapely
from pyproj import Geod
from shapely.geometry import shape

from registry.exchange.defect_files import geojson_of
from registry.gathering.defect_list import DefectLine
from tests.factories import DefectFactory, PavementFactory

pytestmark = pytest.mark.django_db
LON, LAT = -71.5, 42.25
SQUARES = {
    "against the clock": [[3.0, 4.0], [5.0, 4.0], [5.0, 7.0], [3.0, 7.0]],
    "with the clock": [[3.0, 7.0], [5.0, 7.0], [5.0, 4.0], [3.0, 4.0]],
}
"""2 m by 3 m, from 3 m right and 4 m up of the datum."""


def feature_of(outline, drawn_as, bearing=90.0):
    lot = PavementFactory(datum_lon=LON, datum_lat=LAT, bearing_of_up_deg=bearing)
    row = DefectFactory(pavement=lot, outline=outline, outline_kind=drawn_as)
    line = DefectLine(row, None, None, "", None, "", False, False)
    [feature] = json.loads("".join(geojson_of([[line]])))["features"]
    return feature


@pytest.mark.parametrize("turned", SQUARES)
def test_ring_runs_against_the_clock_closed_and_simple_and_has_its_size_on_earth(turned):
    """RFC 7946, 3.1.6: closed rings, the outer one by the right-hand rule."""
    found = feature_of(SQUARES[turned], "area")["geometry"]
    ring = found["coordinates"][0]
    area = shape(found)
    assert ring[0] == ring[-1]
    assert shapely.is_ccw(area.exterior) and area.is_valid and area.is_simple
    size, _ = Geod(ellps="WGS84").geometry_area_perimeter(area)
    assert size == pytest.approx(6.0, rel=1e-4)


def test_longitude_stands_first_and_up_goes_where_its_bearing_says():
    """RFC 7946, 3.1.1. Up bears 90 degrees, east; right of it is south. 40 m up, 30 m right."""
    lon, lat = feature_of([[30.0, 40.0]], "spot")["geometry"]["coordinates"]
    _, _, east = Geod(ellps="WGS84").inv(LON, lat, lon, lat)
    _, _, south = Geod(ellps="WGS84").inv(lon, LAT, lon, lat)
    assert (lon > LON, lat < LAT) == (True, True)
    assert (east, south) == (pytest.approx(40.0, abs=0.001), pytest.approx(30.0, abs=0.001))


def test_defect_without_a_true_position_has_no_geometry_and_is_a_feature_all_the_same():
    """RFC 7946, 3.2: the member is there, and null."""
    feature = feature_of([], "")
    assert feature["geometry"] is None and feature["type"] == "Feature"
