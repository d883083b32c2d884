"""w/cm of a load (N12), worked by hand: (1345 + 8.34 x 14) / (610 x 7) = 0.342.

Water over cementitious material by mass is the definition of w/cm in ACI CT (Concrete Terminology),
from memory; 8.34 lb a US gallon is common practice, no source.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import (
    LoadWater,
    NotGiven,
    PlacingError,
    WaterCement,
    water_cement,
    water_left,
)
from registry.units import System
from tests.placing import dispute

US, SI = System.INCH_POUND, System.SI


def load(**other) -> LoadWater:
    usual = {
        "system": US, "cementitious": 610, "load_volume": 7, "batch_water": 1345,
        "free_moisture": 0, "site_water": 14,
    }  # fmt: skip
    return LoadWater(**(usual | other))


def test_the_hand_worked_load():
    """1461.8 lb of water over 4270 lb of cementitious material, by hand; common practice."""
    assert water_cement(load()).words == "0.342"


@pytest.mark.parametrize("row", dispute.table("1C_loads"), ids=lambda row: row["load"])
def test_every_load_of_the_dispute_as_printed(row):
    assert water_cement(dispute.water(row)).words == row["w/cm"]


def test_the_same_load_in_si():
    """610 lb/yd3 is 361.9 kg/m3; 7 yd3 5.352 m3; 1345 lb 610.1 kg; 14 gal 53.0 L."""
    metric = load(system=SI, cementitious=361.904, load_volume=5.35188, batch_water=610.082,
                  site_water=52.9958)  # fmt: skip
    assert water_cement(metric).value == pytest.approx(water_cement(load()).value, abs=5e-4)


@pytest.mark.parametrize("unknown", ["free_moisture", "site_water"])
def test_with_some_water_unknown_it_is_a_least_value(unknown):
    found = water_cement(load(**{unknown: None}))
    assert found.at_least and found.words.startswith("at least 0.3")


def test_free_moisture_is_added():
    assert water_cement(load(batch_water=1245, free_moisture=100)).words == "0.342"


@pytest.mark.parametrize("missing", ["cementitious", "load_volume", "batch_water"])
def test_without_its_parts_no_number_is_given(missing):
    found = water_cement(load(**{missing: None}))
    assert isinstance(found, NotGiven) and found.reason.startswith("No w/cm without")


def test_a_least_value_decides_only_when_it_is_over():
    assert WaterCement(0.342, at_least=True).is_over(0.33) is True
    assert WaterCement(0.314, at_least=True).is_over(0.33) is None
    assert WaterCement(0.314, at_least=False).is_over(0.33) is False


def test_water_that_may_still_be_added():
    """(0.33 x 4270 - 1345) / 8.34 = 64.1 / 8.34 = 7.686 gal, by hand."""
    assert water_left(load(site_water=0), 0.33) == pytest.approx(7.686, abs=0.0005)
    assert water_left(load(), 0.33) == 0
    assert isinstance(water_left(load(free_moisture=None), 0.33), NotGiven)
    assert isinstance(water_left(load(batch_water=None), 0.33), NotGiven)


@pytest.mark.parametrize("wrong", [{"site_water": -1}, {"load_volume": 0}, {"cementitious": -5}])
def test_a_load_that_cannot_be_is_refused(wrong):
    with pytest.raises(PlacingError):
        load(**wrong)


@given(st.floats(0, 7))
def test_what_is_left_brings_it_to_the_limit_and_not_over(added):
    before = load(site_water=added)
    left = water_left(before, 0.33)
    after = water_cement(load(site_water=added + left))
    assert after.value == pytest.approx(0.33)
