"""Every place has a position on earth and comes back from it to the millimetre."""

import math
import random
from dataclasses import replace
from datetime import date

import pytest
from pyproj import Geod
from shapely import Point

from registry.plan import (
    EarthError,
    PanelPlace,
    from_lonlat,
    read_place,
    to_geojson,
    to_lonlat,
    to_place,
    to_plan,
)
from registry.plan.places import at
from registry.units import System
from tests.plan.layouts import AFTER, BEFORE, FT, closing_lot, curved_lane, datum, mended_lot

PLANS, PLACES_ON_EACH = 500, 20


def random_place(layout, on, dice):
    """A spot inside a panel of the day, never nearer than a hair to its joints."""
    while True:
        panel = dice.choice(layout.panels_on(on))
        right, up = dice.uniform(0, panel.width_m), dice.uniform(0, panel.length_m)
        point = panel.to_plan(right, up)
        inside = panel.corners is None or panel.polygon.exterior.distance(Point(point)) > 1e-4
        if inside and panel.holds(*point):
            return PanelPlace(panel.panel_name, at(right), at(up))


def test_panel_to_plan_to_earth_and_back_to_the_millimetre():
    dice = random.Random(20260519)
    lots = [mended_lot(), closing_lot(), curved_lane()]
    worst = 0.0
    for nth in range(PLANS * PLACES_ON_EACH):
        lot = dice.choice(lots)
        if nth % PLACES_ON_EACH == 0:  # a new plane of projection takes longest
            lot_datum = datum(
                lonlat=(dice.uniform(-179.9, 179.9), dice.uniform(-70, 75)),
                bearing_of_up_deg=dice.uniform(0, 359.99),
            )
        on = dice.choice([BEFORE, date(2025, 6, 1), date(2025, 8, 20), AFTER])
        place = random_place(lot, on, dice)
        spot = to_plan(place, lot, on).centre
        back_at = from_lonlat(lot_datum, *to_lonlat(lot_datum, *spot))
        worst = max(worst, math.dist(back_at, spot))
        back = to_place(*back_at, lot, on)
        if back.panel != place.panel:  # within a hair of a joint: the same spot by its neighbour
            assert math.dist(to_plan(back, lot, on).centre, spot) < 0.001
        else:
            assert abs(back.right.start_m - place.right.start_m) < 0.001
            assert abs(back.up.start_m - place.up.start_m) < 0.001
    assert worst < 1e-6


def test_distance_and_bearing_from_the_datum_are_true_by_the_geodesic():
    here = datum(lonlat=(-71.4128, 41.8240), bearing_of_up_deg=37.0)
    lon, lat = to_lonlat(here, 0.0, 40.2336)
    bearing, _, distance = Geod(ellps="WGS84").inv(-71.4128, 41.8240, lon, lat)
    assert bearing == pytest.approx(37.0, abs=1e-6)
    assert distance == pytest.approx(40.2336, abs=1e-6)
    lon, lat = to_lonlat(here, 10.0, 0.0)
    bearing, _, distance = Geod(ellps="WGS84").inv(-71.4128, 41.8240, lon, lat)
    assert bearing == pytest.approx(127.0, abs=1e-6)  # right is a quarter turn on from up


def test_north_up_at_the_equator_by_hand():
    # One minute of longitude at the equator is 6378137 m x pi / 10800 = 1855.325 m.
    here = datum(lonlat=(0.0, 0.0), bearing_of_up_deg=0.0)
    lon, lat = to_lonlat(here, 1855.3248, 0.0)
    assert lon * 60 == pytest.approx(1.0, abs=1e-6)
    assert lat == pytest.approx(0.0, abs=1e-9)


def test_plan_without_a_position_says_so():
    nowhere = replace(datum(), lonlat=None)
    with pytest.raises(EarthError, match="no longitude and latitude yet"):
        to_lonlat(nowhere, 1.0, 1.0)
    with pytest.raises(EarthError, match="bearing of up"):
        to_lonlat(replace(datum(), bearing_of_up_deg=None), 1.0, 1.0)


def test_position_of_another_site_is_refused():
    with pytest.raises(EarthError, match="20 km"):
        from_lonlat(datum(), -71.4128, 43.0)


def test_area_becomes_a_closed_ring_that_turns_left():
    lot = mended_lot()
    shape = to_plan(read_place("C4 whole", System.INCH_POUND), lot, BEFORE)
    geometry = to_geojson(shape, lot.datum)
    (ring,) = geometry["coordinates"]
    assert geometry["type"] == "Polygon"
    assert ring[0] == ring[-1] and len(ring) == 5
    area, _ = Geod(ellps="WGS84").polygon_area_perimeter(*zip(*ring, strict=True))
    assert area == pytest.approx(144 * FT**2, rel=1e-6)  # positive: counterclockwise
