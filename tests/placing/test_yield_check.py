"""Yield check (N15), worked by hand: 48 x 132 ft at 6 in is 117.3 yd3; 121.5 ticketed is 104 %.

Placed over planned volume is common practice, no source; 27 ft3 are a yd3 by definition.
"""

import pytest

from registry.placing import PlacingError, yield_check
from registry.units import Kind, System, from_si, to_si
from tests.placing import dispute

US = System.INCH_POUND


def test_the_hand_worked_lot():
    """48 x 132 x 0.5 / 27 = 117.33 yd3, 121.5 / 117.33 = 1.0355, by hand; common practice."""
    found = yield_check(to_si(121.5, Kind.VOLUME, US), to_si(48 * 132, Kind.AREA, US), 6 * 0.0254)
    assert round(from_si(found.plan_m3, Kind.VOLUME, US), 1) == 117.3
    assert found.words == "104 %"


def test_the_loads_of_the_dispute_add_up_to_what_was_ticketed():
    assert sum(float(row["yd³"]) for row in dispute.table("1C_loads")) == 121.5


@pytest.mark.parametrize("wrong", [(0, 1, 1), (1, -1, 1), (1, 1, 0), (float("inf"), 1, 1)])
def test_a_size_that_is_not_above_zero_is_refused(wrong):
    with pytest.raises(PlacingError, match="above 0"):
        yield_check(*wrong)
