"""Repair quantity and price (N34). 7 panels of 12 x 12 ft at $26: table 1L."""

from decimal import Decimal

import pytest

from registry.placing import ClaimError, NotGiven, repair_quantity


def test_measured_and_squared_are_both_shown_and_priced():
    """610.5 ft2 outlined, 1 008 ft2 to the joints: $15,873.00 and $26,208.00."""
    found = repair_quantity(610.5, 1008, "ft²", Decimal("26.0"))
    assert (found.measured_cost, found.squared_cost) == (Decimal("15873.00"), Decimal("26208.00"))


def test_half_a_cent_is_rounded_up():
    assert repair_quantity(0.1, 0.1, "m", Decimal("0.05")).squared_cost == Decimal("0.01")


def test_without_a_price_the_extents_stand_alone():
    found = repair_quantity(10, 12, "ft", None)
    assert found.squared == 12
    assert found.squared_cost == found.measured_cost == NotGiven("There is no price.")


def test_what_cannot_be_is_refused():
    with pytest.raises(ClaimError, match="cannot be smaller"):
        repair_quantity(12, 10, "ft²", None)
    with pytest.raises(ClaimError):
        repair_quantity(-1, 10, "ft²", None)
    with pytest.raises(ClaimError):
        repair_quantity(1, 10, "ft²", Decimal(-1))
