import pytest

from registry.plan import (
    PlaceError,
    ShapeKind,
    as_panels,
    as_station,
    read_place,
    to_place,
    to_plan,
    write_place,
)
from registry.units import System
from tests.plan.layouts import (
    AFTER,
    BEFORE,
    FT,
    closing_lot,
    curved_lane,
    ft,
    mended_lot,
    north_lot,
    paver_lot,
    walk,
)

FEET = System.INCH_POUND


def located(text, layout, on=BEFORE):
    return to_plan(read_place(text, layout.system), layout, on)


def feet(points):
    return [tuple(round(value / FT, 6) for value in point) for point in points]


def test_worked_example_of_the_scheme():
    # Lane D, ft 110 to 117 from the datum line, 36 to 48 ft right; in form B 1+10 to 1+17, R 36-48.
    lot = north_lot()
    shape = located("D10 · 0-12 R · 2-9 U", lot)
    assert feet(shape.points) == [(36, 110), (48, 110), (48, 117), (36, 117)]
    assert shape.area_m2 == pytest.approx(84 * FT**2)
    assert write_place(as_station(shape, lot), FEET) == "1+10 to 1+17, R 36-48"


def test_worked_example_back_from_stations():
    lot = north_lot()
    place = read_place("1+10 to 1+17, R 36-48", FEET)
    (back,) = as_panels(place, lot, BEFORE)
    assert write_place(back, FEET) == "D10 · 0-12 R · 2-9 U"


def test_area_over_a_joint_is_one_place_in_each_panel():
    pieces = as_panels(read_place("1+00 to 1+10, R 30-40", FEET), north_lot(), BEFORE)
    assert [write_place(piece, FEET) for piece in pieces] == [
        "C9 · 6-12 R · 4-12 U",
        "C10 · 6-12 R · 0-2 U",
        "D9 · 0-4 R · 4-12 U",
        "D10 · 0-4 R · 0-2 U",
    ]


def test_line_along_a_joint_belongs_to_the_home_side_once():
    pieces = as_panels(read_place("0+84 to 0+96, R 24", FEET), north_lot(), BEFORE)
    assert [write_place(piece, FEET) for piece in pieces] == ["B8 · 12.0 R · 0-12 U"]


def test_station_place_outside_the_panels_is_refused():
    with pytest.raises(PlaceError, match="panels only"):
        as_panels(read_place("1+10 to 1+17, R 36-50", FEET), north_lot(), BEFORE)


@pytest.mark.parametrize(
    ("text", "kind", "points"),
    [
        ("C8 · 3.2 R · 8.5 U", ShapeKind.POINT, [(27.2, 92.5)]),
        ("A3, from R 0 U 5.8 to R 11.5 U 6.1", ShapeKind.LINE, [(0, 29.8), (11.5, 30.1)]),
        ("C8|B8 U 1.0-10.0", ShapeKind.LINE, [(24, 85), (24, 94)]),
        ("B8|C8 U 1.0", ShapeKind.POINT, [(24, 85)]),
        ("C8|C9 R 4-9", ShapeKind.LINE, [(28, 96), (33, 96)]),
        ("C8|B8", ShapeKind.LINE, [(24, 84), (24, 96)]),
        ("C4 whole", ShapeKind.AREA, [(24, 36), (36, 36), (36, 48), (24, 48)]),
        ("D6", ShapeKind.AREA, [(36, 60), (48, 60), (48, 72), (36, 72)]),
        ("A2, R 11.0-12.0", ShapeKind.AREA, [(11, 12), (12, 12), (12, 24), (11, 24)]),
        ("A2, U 6", ShapeKind.LINE, [(0, 18), (12, 18)]),
    ],
)
def test_each_form_lies_where_it_says(text, kind, points):
    shape = located(text, north_lot())
    assert shape.kind == kind
    assert feet(shape.points) == points


def test_row_of_panels_with_a_strip():
    shape = located("A1-A5, R 11.0-12.0", north_lot())
    assert shape.area_m2 == pytest.approx(60 * FT**2)


def test_place_outside_its_panel_names_the_size():
    with pytest.raises(PlaceError, match=r"U 12\.4 ft lies outside C8, which is 12 ft right"):
        located("C8 · 3 R · 12.4 U", north_lot())


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("C12 · 3 R · 1 U", "Its lanes are A to D, its numbers go up to 11"),
        ("C8|D9 U 1-2", "do not share a joint"),
        ("C8|A8", "do not share a joint"),
        ("C8|B8 R 1-2", "runs up; measure along it in U"),
        ("C8|B8 U 1-13", "goes from U 0 to 12 ft"),
        ("1+33 R 2", "past the end, which is at 1\\+32"),
        ("g(1,1)", "no squares"),
    ],
)
def test_place_that_is_not_on_the_plan_says_why(text, message):
    with pytest.raises(PlaceError, match=message):
        located(text, north_lot())


def test_spot_on_a_joint_belongs_to_the_home_side():
    place = to_place(*ft(24, 90), north_lot(), BEFORE)
    assert write_place(place, FEET) == "B8 · 12.0 R · 6.0 U"
    corner = to_place(*ft(24, 96), north_lot(), BEFORE)
    assert write_place(corner, FEET) == "B8 · 12.0 R · 12.0 U"


def test_old_place_still_lies_on_the_old_panel():
    lot = mended_lot()
    place = read_place("B4 · 8 R · 2 U", FEET)
    spot = to_plan(place, lot, BEFORE)
    assert write_place(to_place(*spot.centre, lot, AFTER), FEET) == "B4ba · 3.0 R · 2.0 U"
    with pytest.raises(PlaceError, match="cut into"):
        to_plan(place, lot, AFTER)


def test_spot_of_a_panel_taken_out_has_no_place_now():
    lot = mended_lot()
    spot = located("D10 · 3 R · 3 U", lot)
    with pytest.raises(PlaceError, match="nothing of the plan"):
        to_place(*spot.centre, lot, AFTER)


def test_spot_outside_the_outline_is_refused():
    with pytest.raises(PlaceError, match="outside the outline"):
        to_place(*ft(60, 60), north_lot(), BEFORE)


def test_closing_piece_refuses_a_spot_beyond_its_slanted_side():
    lot = closing_lot()
    assert located("B1 · 11 R · 11 U", lot).kind == ShapeKind.POINT
    with pytest.raises(PlaceError, match="not a full rectangle"):
        located("B1 · 11.9 R · 11 U", lot)
    clipped = located("B1 · 0-12 R · 0-12 U", lot)
    assert clipped.area_m2 == pytest.approx(11.5 * 12 * FT**2)


def test_curved_lane_follows_its_own_up():
    lane = curved_lane()
    spot = located("A4 · 1.20 R · 2.00 U", lane)
    assert write_place(to_place(*spot.centre, lane, BEFORE), System.SI) == "A4 · 1.20 R · 2.00 U"


@pytest.mark.parametrize(
    "text",
    ["0+30 L 2.0", "1+20 R 1.5", "2+40 L 1.0", "1+00 L 5.0", "from 0+30 L 2.0 to 0+40 R 1.0"],
)
def test_path_places_come_back_from_the_plan(text):
    path = walk()
    shape = located(text, path)
    back = as_station(shape, path)
    assert write_place(back, FEET) == text


def test_path_area_bends_with_the_path():
    path = walk()
    whole = located("0+00 to 2+94", path)
    assert whole.geometry.is_valid
    assert whole.area_m2 == pytest.approx(2944 * FT**2, rel=0.02)


def test_place_beside_the_path_is_refused():
    with pytest.raises(PlaceError, match="10 ft wide; offsets count from the center"):
        located("0+30 L 6", walk())


def test_paver_squares_hold_places():
    lot = paver_lot()
    assert feet(located("g(2,1)", lot).points)[0] == (10, 0)
    assert located("g(2,1)-g(2,6)", lot).area_m2 == pytest.approx(600 * FT**2)
    place = to_place(*ft(13.2, 8.5), lot, BEFORE)
    assert write_place(place, FEET) == "g(2,1) · 3.2 R · 8.5 U"
    with pytest.raises(PlaceError, match="g\\(6,9\\)"):
        located("g(7,1)", lot)
