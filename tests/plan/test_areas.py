import pytest

from registry.plan import PlanError, by_corners, by_panels, by_tape
from registry.plan.areas import rectangle_m2, triangle_m2
from tests.plan.layouts import BEFORE, FT, north_lot


def test_panels_summed_against_the_outline():
    lot = north_lot()
    found = by_panels(lot.panels, BEFORE, lot.outline)
    assert found.area_m2 == pytest.approx(6336 * FT**2)
    assert found.misclosure == pytest.approx(0.0, abs=1e-12)


def test_panels_that_do_not_fill_the_outline_give_no_area():
    lot = north_lot().ended("D10", BEFORE)
    found = by_panels(lot.panels, BEFORE, lot.outline)
    assert found.area_m2 is None
    assert found.misclosure == pytest.approx(144 / 6336)
    assert "over 2 %" in found.reason


def test_triangle_of_three_taped_sides():
    assert triangle_m2(3.0, 4.0, 5.0) == pytest.approx(6.0)
    with pytest.raises(PlanError, match="do not meet"):
        triangle_m2(3.0, 4.0, 7.5)


def test_tape_checked_by_the_other_diagonal():
    first = (triangle_m2(3, 4, 5), triangle_m2(3, 4, 5))
    found = by_tape(first, again=(rectangle_m2(3, 4.05),))
    assert found.area_m2 == pytest.approx((12 + 12.15) / 2)
    assert found.misclosure == pytest.approx(0.15 / 12.075)


def test_corners_by_hand():
    found = by_corners(((0, 0), (10, 0), (10, 6), (4, 6), (4, 9), (0, 9)))
    assert found.area_m2 == pytest.approx(72.0)
    assert found.misclosure is None


def test_closing_error_is_shown_and_spread():
    found = by_corners(((0, 0), (10, 0), (10, 10), (0, 10)), closing=(0.2, 0.1))
    assert found.closing_error_m == pytest.approx(0.05**0.5)
    assert found.misclosure == pytest.approx(0.05**0.5 / 39.9, rel=1e-2)
    assert found.area_m2 == pytest.approx(100, rel=0.01)


def test_no_area_when_the_corners_miss_by_over_two_percent():
    found = by_corners(((0, 0), (10, 0), (10, 10), (0, 10)), closing=(1.0, 0.5))
    assert found.area_m2 is None
    assert found.closing_error_m == pytest.approx(1.25**0.5)


def test_corners_out_of_order_are_refused():
    with pytest.raises(PlanError, match="order"):
        by_corners(((0, 0), (10, 10), (10, 0), (0, 10)))
