"""An area beside the sum of its panels: agreed, a slip of units, or to be measured again."""

from datetime import date

import pytest

from registry.gathering.area_doubt import area_doubt
from registry.units import System
from tests.plan.layouts import BEFORE, FT, north_lot

PANELS_M2 = 6336 * FT**2


def doubt_of(area_m2, layout=None, on=BEFORE):
    return area_doubt(area_m2, layout or north_lot(), on=on, system=System.SI)


def test_area_that_agrees_raises_no_doubt():
    assert doubt_of(PANELS_M2) is doubt_of(PANELS_M2 * 1.01) is None


def test_square_feet_in_the_place_of_square_metres_are_asked_about():
    found = doubt_of(6336.0)
    assert "10.76 is the factor between m² and ft²" in found.mend
    assert found.panels_m2 == pytest.approx(PANELS_M2)


def test_other_difference_is_measured_again():
    found = doubt_of(PANELS_M2 / 2)
    assert "factor 2.00" in found.message and found.mend.startswith("Measure again")


def test_without_an_area_a_plan_or_panels_of_the_day_there_is_nothing_to_compare():
    assert doubt_of(None) is None
    assert area_doubt(100.0, None, on=BEFORE, system=System.SI) is None
    assert doubt_of(1.0, on=date(2000, 1, 1)) is None
