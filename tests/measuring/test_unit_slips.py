"""A number in the wrong unit is asked about by its factor, and a likely real change is not.

Factors: 1 lb = 0.45359237 kg and 1 in = 25.4 mm, exact (international yard and pound, 1959).
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measuring.reading import Ended, Method, RingReading, compute_rate
from registry.measuring.surroundings import Earlier, Surroundings
from registry.measuring.unit_slips import (
    area_slip,
    find_unit_slips,
    intensity_slip,
    level_slip,
    slip_between,
)
from registry.units import System

ON, BEFORE = date(2024, 5, 1), date(2023, 5, 1)
IP, SI = System.INCH_POUND, System.SI


def reading(system=IP, ring=12.0, water=40.0, seconds=100.0, **more):
    return RingReading(system, Method.C1701, Ended.DRAINED, ring, water, seconds, **more)


def codes(run, **around):
    return [slip.code for slip in find_unit_slips(run, Surroundings(ON, **around))]


def history(factor, run):
    earlier = Earlier(BEFORE, compute_rate(run).mm_h * factor, Method.C1701)
    return codes(run, earlier=(earlier,))


@pytest.mark.parametrize(
    ("ratio", "code"),
    [
        (2.2046, "ratio_kg_lb"),
        (2.3622, "ratio_mm_min_in_h"),
        (10.764, "ratio_m2_ft2"),
        (25.4, "ratio_mm_in"),
        (1.0, None),
        (5.0, None),
    ],
)
def test_factor_between_two_numbers_names_their_units_whichever_is_larger(ratio, code):
    for pair in ((100.0, 100.0 * ratio), (100.0 * ratio, 100.0)):
        found = slip_between(*pair, 0.03)
        assert (found[0] if found else None) == code


def test_ring_and_pour_of_the_other_system_keep_a_run_out():
    for run, code in (
        (reading(ring=300.0), "ring_size"),
        (reading(SI, ring=12.0, water=18.0), "ring_size"),
        (reading(water=18.14), "water_other_system"),
        (reading(SI, ring=305.0, water=40.0), "water_other_system"),
    ):
        [slip] = find_unit_slips(run, Surroundings(ON))
        assert (slip.code, slip.keeps_out) == (code, True)


def test_usual_readings_of_either_system_raise_nothing():
    assert codes(reading()) == codes(reading(water=8.1)) == []
    assert codes(reading(SI, ring=305.0, water=18.14)) == []


def test_rate_printed_on_the_sheet_is_compared_with_its_readings():
    run = reading()
    mm_h = compute_rate(run).mm_h
    assert codes(run, stated_mm_h=mm_h * 1.02) == []
    assert codes(run, stated_mm_h=mm_h * 25.4) == ["stated_ratio_mm_in"]
    assert codes(run, stated_mm_h=mm_h * 1.5) == ["stated_rate_differs"]


def test_factor_since_the_last_test_is_asked_about_and_keeps_nothing_out():
    assert history(25.4, reading()) == ["ratio_mm_in"]
    assert history(3.0, reading()) == []
    earlier = (Earlier(BEFORE, compute_rate(reading()).mm_h * 25.4, Method.C1701),)
    assert not find_unit_slips(reading(), Surroundings(ON, earlier=earlier))[0].keeps_out


def test_water_that_its_prewet_asks_for_is_not_taken_for_kilograms():
    assert history(2.2046, reading()) == ["ratio_kg_lb"]
    assert history(2.2046, reading(prewet_seconds=20.0)) == []


def test_area_in_square_feet_is_told_from_one_that_is_just_wrong():
    assert area_slip(1076.4, 100.0).code == "ratio_m2_ft2"
    assert area_slip(300.0, 100.0) is None


@pytest.mark.parametrize(
    ("level_mm_h", "meant"),
    [(12.5, "12.5 in/h"), (25.39, "25.39 in/h"), (25.4, ""), (254.0, ""), (2540.0, ""),
     (254 * 25.4, "254 mm/h")],
)  # fmt: skip
def test_action_level_that_only_the_other_unit_makes_likely_is_asked_about(level_mm_h, meant):
    slip = level_slip(level_mm_h)
    assert (slip.mend if slip else "") == (f"Ask whether {meant} was meant." if meant else "")


@pytest.mark.parametrize(
    ("intensity_mm_h", "meant"),
    [(3.2, "3.2 in/h"), (12.69, "12.69 in/h"), (12.7, ""), (81.28, ""), (304.8, ""),
     (81.28 * 25.4, "81.28 mm/h")],
)  # fmt: skip
def test_design_intensity_that_only_the_other_unit_makes_likely_is_asked_about(
    intensity_mm_h, meant
):
    slip = intensity_slip(intensity_mm_h)
    assert (slip.mend if slip else "") == (f"Ask whether {meant} was meant." if meant else "")


@given(st.floats(12.7, 304.8), st.sampled_from([25.4, 1 / 25.4]))
def test_each_likely_intensity_read_in_the_other_unit_is_asked_about(right, factor):
    assert intensity_slip(right) is None
    assert intensity_slip(right * factor).code == "intensity_mm_in"
