"""Stations and offsets as a sheet prints them; that they are read back, test_places holds."""

import pytest

from registry.plan.panels import PanelName
from registry.plan.places import PanelPlace, Span, SquarePlace, StationPlace, at
from registry.plan.writing import rounded, write_offset, write_place, write_station
from registry.units import System

FT = 0.3048
FEET, METRES = System.INCH_POUND, System.SI


@pytest.mark.parametrize(
    ("metres", "system", "text"),
    [
        (0.0, FEET, "0+00"),
        (142.5 * FT, FEET, "1+42.5"),
        (5 * FT, FEET, "0+05"),
        (99.99999 * FT, FEET, "1+00"),
        (1230.0, METRES, "12+30"),
        (101.25, METRES, "1+01.25"),
    ],
)
def test_station_is_hundreds_and_the_rest(metres, system, text):
    assert write_station(metres, system) == text


def test_offset_says_its_side_and_on_the_line_itself_right():
    assert [write_offset(v * FT, FEET) for v in (-3.0, 1.5, 0.0)] == ["L 3.0", "R 1.5", "R 0.0"]


def test_strip_across_the_line_names_both_sides():
    place = StationPlace(Span(0.0, 3.0), Span(-1.0, 2.0))
    assert write_place(place, METRES) == "0+00 to 0+03, L 1 to R 2"


def test_tapped_place_is_rounded_to_the_tape_and_a_square_alone_stays():
    place = PanelPlace(PanelName("C", 8), at(1.0046), at(2.1951))
    assert write_place(rounded(place, METRES), METRES) == "C8 · 1.00 R · 2.20 U"
    assert rounded(SquarePlace(2, 1), FEET) == SquarePlace(2, 1)
