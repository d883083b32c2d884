"""Times of driving: from coordinates against published distances, and from a table."""

from math import inf, nan

import numpy as np
import pytest

from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.travel import Travel, travel_from_coordinates, travel_from_table


def test_distance_against_a_published_geodesic():
    """JFK to SIN, 15 347 628 m: example of GeographicLib's GeodSolve, from memory of its manual.

    One degree along the equator of WGS 84 is π·6 378 137/180 = 111 319.49 m, by hand.
    """
    places = {"here": (0.0, 0.0), "there": (1.0, 0.0)}
    at_60 = travel_from_coordinates(places, detour_factor=1, speed_km_h=60)
    assert at_60.between("here", "there") == 112  # 111.32 km at 1 km a minute, rounded up


def test_detour_and_speed_count_and_minutes_are_rounded_up():
    places = {"here": (0.0, 0.0), "there": (0.1, 0.0)}  # 11.132 km
    travel = travel_from_coordinates(places, detour_factor=1.3, speed_km_h=40)
    assert travel.between("here", "there") == 22  # 21.71 min
    assert travel.between("there", "here") == 22
    assert travel.between("here", "here") == 0


def test_two_pavements_of_one_site_are_no_drive_apart():
    places = {"front": (-71.5, 41.8), "rear": (-71.5, 41.8)}
    travel = travel_from_coordinates(places, detour_factor=1.3, speed_km_h=40)
    assert travel.between("front", "rear") == 0


@pytest.mark.parametrize(
    ("places", "detour", "speed", "said"),
    [
        ({"x": (181.0, 0.0)}, 1.3, 40, "“x”"),
        ({"x": (0.0, nan)}, 1.3, 40, "“x”"),
        ({}, 0.9, 40, "detour"),
        ({}, nan, 40, "detour"),
        ({}, 1.3, 0, "speed"),
        ({}, 1.3, inf, "speed"),
    ],
)
def test_what_cannot_be_is_refused(places, detour, speed, said):
    with pytest.raises(RoundError, match=said):
        travel_from_coordinates(places, detour_factor=detour, speed_km_h=speed)


def test_a_table_may_differ_there_and_back():
    travel = travel_from_table([("a", "b", 4.2), ("b", "a", 9)])
    assert (travel.between("a", "b"), travel.between("b", "a")) == (5, 9)


def test_a_table_may_hold_more_than_is_asked_for():
    rows = [("a", "b", 4), ("b", "a", 4), ("a", "z", 9)]
    assert travel_from_table(rows, ["a", "b"]).places == ("a", "b")


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([("a", "b", 4)], "no time from “b” to “a”"),
        ([("a", "b", 4), ("c", "a", 4)], "and 3 more"),
        ([("a", "b", -1), ("b", "a", 4)], "From “a” to “b”: -1"),
        ([("a", "b", nan), ("b", "a", 4)], "no time to drive"),
        ([("a", "b", 4), ("a", "b", 5), ("b", "a", 4)], "twice, with different"),
        ([("a", "a", 4)], "to itself"),
    ],
)
def test_a_table_with_a_hole_or_a_slip_is_refused(rows, said):
    with pytest.raises(RoundError, match=said):
        travel_from_table(rows)


def test_a_place_without_times_is_named():
    travel = travel_from_table([("a", "b", 4), ("b", "a", 4)])
    with pytest.raises(RoundError, match="“moon”"):
        travel.between("a", "moon")


@pytest.mark.parametrize("minutes", [[[0, 1]], [[0, -1], [1, 0]], [[1, 1], [1, 0]]])
def test_minutes_that_fit_no_places_are_refused(minutes):
    with pytest.raises(RoundError):
        Travel(("a", "b"), np.array(minutes))
