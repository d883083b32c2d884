"""Cores and densities (N16). +-5 lb/ft3 of the approved density: ACI 522.1, from memory.

That a core is held to the plan's thickness, length less plan, is common practice, no source.
"""

import pytest

from registry.placing import NotGiven, PlacingError, density_check, length_deviation_mm
from registry.units import System
from tests.placing import dispute

US, SI = System.INCH_POUND, System.SI


@pytest.mark.parametrize(
    ("found", "inside"), [(113.0, True), (123.0, True), (112.9, False), (123.1, False)]
)
def test_the_limit_itself_is_inside(found, inside):
    """118 lb/ft3 less and plus the 5 of ACI 522.1 (from memory), by hand."""
    assert density_check(found, 118.0, US).is_inside is inside


def test_si_has_its_own_limit():
    """5 lb/ft3 is 80.09 kg/m3; the round number of each system is used in that system."""
    assert density_check(1970, 1890, SI).is_inside
    assert not density_check(1971, 1890, SI).is_inside


def test_fresh_density_passed_for_every_load_of_the_dispute():
    """As the story of the dispute says; load 13 is the highest, still inside +-5."""
    checks = {
        row["load"]: density_check(float(row["fresh density lb/ft³"]), 121.5, US)
        for row in dispute.table("1C_loads")
    }
    assert all(check.is_inside for check in checks.values())
    assert max(checks, key=lambda load: checks[load].deviation) == "13"
    assert checks["13"].words == "+4.0 % of the approved density, inside the limit"


def test_a_contracts_own_tolerance_wins():
    assert not density_check(126.4, 121.5, US, tolerance=3.0).is_inside


def test_the_length_of_a_core_less_the_plan_thickness():
    """K3 of table 1K: 5.9 in of 6.0."""
    assert length_deviation_mm(5.9 * 25.4, 152.4) == pytest.approx(-2.54)


def test_what_is_missing_is_named():
    assert density_check(None, 121.5, US) == NotGiven("The density is missing.")
    assert "test panel" in density_check(120, None, US).reason
    assert "core" in length_deviation_mm(None, 152.4).reason
    assert "plan thickness" in length_deviation_mm(150, None).reason


def test_a_density_or_length_that_cannot_be_is_refused():
    with pytest.raises(PlacingError):
        density_check(-1, 121.5, US)
    with pytest.raises(PlacingError):
        length_deviation_mm(0, 152.4)
