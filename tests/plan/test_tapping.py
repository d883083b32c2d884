"""A tap becomes the place that a crew would write, and that place reads back to the same spot."""

import math
import random
from datetime import date

import pytest

from registry.plan import PlaceError, ShapeKind, read_place, to_plan, write_place
from registry.plan.tapping import Drawn, place_of_taps
from tests.plan.layouts import (
    AFTER,
    FT,
    closing_lot,
    curved_lane,
    ft,
    mended_lot,
    north_lot,
    paver_lot,
    walk,
)


def told(layout, points, drawn=Drawn.SPOT, on=AFTER):
    return write_place(place_of_taps(points, drawn, layout, on), layout.system)


@pytest.mark.parametrize(
    ("points", "drawn", "words"),
    [
        ([ft(27.24, 92.46)], "spot", "C8 · 3.2 R · 8.5 U"),
        ([ft(1, 1), ft(27.24, 92.46)], "spot", "C8 · 3.2 R · 8.5 U"),
        ([ft(24.3, 84.4), ft(30, 90), ft(35.71, 95.96)], "line",
         "C8, from R 0.3 U 0.4 to R 6.0 U 6.0 to R 11.7 U 12.0"),
        ([ft(35, 95), ft(25.02, 86.97)], "area", "C8 · 1-11 R · 3-11 U"),
        ([ft(20, 90), ft(30, 101)], "line", "from 0+90 R 20.0 to 1+01 R 30.0"),
        ([ft(30, 101), ft(20, 90)], "line", "from 0+90 R 20.0 to 1+01 R 30.0"),
        ([ft(47.5, 110), ft(36.04, 117)], "area", "D10 · 0-11.5 R · 2-9 U"),
        ([ft(30, 110), ft(36.5, 117)], "area", "1+10 to 1+17, R 30-36.5"),
    ],
)  # fmt: skip
def test_taps_are_told_in_the_words_of_the_scheme(points, drawn, words):
    assert told(north_lot(), points, Drawn(drawn)) == words


def test_parts_of_a_cut_panel_are_named_as_they_are_on_the_day():
    lot = mended_lot()
    spot = [ft(14, 38)]
    assert told(lot, spot, on=date(2025, 8, 3)).startswith("B4 ·")
    assert told(lot, spot, on=AFTER).startswith("B4a ·")


def test_a_path_is_told_by_stations_and_pavers_by_squares():
    assert told(walk(), [ft(8, 42.53)]) == "0+42.5 R 3.0"
    assert told(paver_lot(), [ft(13.24, 4.5)]) == "g(2,1) · 3.2 R · 4.5 U"
    assert told(paver_lot(), [ft(3, 4), ft(13, 9)], Drawn.AREA) == "0+04 to 0+09, R 3-13"


@pytest.mark.parametrize(
    ("points", "drawn", "words"),
    [
        ([ft(60, 10)], "spot", "outside the outline"),
        ([ft(5, 5), ft(60, 10)], "line", "outside the outline"),
        ([ft(5, 5), ft(5.01, 5.01)], "line", "farther apart"),
        ([ft(5, 5), ft(5.01, 9)], "area", "reaches both ways"),
    ],
)
def test_what_is_no_place_is_refused_in_plain_words(points, drawn, words):
    with pytest.raises(PlaceError, match=words):
        told(north_lot(), points, Drawn(drawn))


@pytest.mark.parametrize(
    "layout", [mended_lot(), closing_lot(), curved_lane(), paver_lot()], ids=range(4)
)
def test_any_tap_reads_back_to_within_a_step_of_the_tape(layout):
    dice = random.Random(4)
    left, bottom, right, top = layout.reach
    step = 0.1 * FT if layout.system == "inch_pound" else 0.01
    read = 0
    for _ in range(3000):
        point = (dice.uniform(left, right), dice.uniform(bottom, top))
        try:
            place = place_of_taps([point], Drawn.SPOT, layout, AFTER)
        except PlaceError:
            continue
        shape = to_plan(read_place(write_place(place, layout.system), layout.system), layout, AFTER)
        assert shape.kind == ShapeKind.POINT
        assert math.dist(shape.centre, point) <= step * math.sqrt(2) + 0.001
        read += 1
    assert read > 500
