"""Single ring tests against hand-worked values and the practice's printed ones.

Constants, water masses and the 30 s rule: from memory of ASTM C1701/C1701M.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measuring import (
    CONSTANT,
    Ended,
    InvalidReading,
    Method,
    NoRate,
    Rate,
    RingReading,
    compute_rate,
    rate_range_for_rings,
    reading_from_written,
    required_water,
)
from registry.units import Kind, System, UnitError, read_quantity, show

US, SI = System.INCH_POUND, System.SI


def reading(system=US, ring=12.0, water=40.0, seconds=60.0, **changes) -> RingReading:
    given = {"method": Method.C1701, "ended": Ended.DRAINED, **changes}
    return RingReading(system=system, ring=ring, water=water, seconds=seconds, **given)


@pytest.mark.parametrize(
    ("system", "water", "ring", "seconds", "rate"),
    [
        # 126 870 * 40 / (144 * 60) and so on, by hand
        (US, 40.0, 12.0, 60.0, 587.361),
        (US, 8.0, 12.0, 45.0, 156.630),
        (SI, 18.0, 300.0, 60.0, 15278.887),
        (SI, 3.6, 300.0, 45.0, 4074.370),
        # the rate at the 30 s switch
        (US, 8.0, 12.0, 30.0, 234.944),
        (SI, 3.6, 300.0, 30.0, 6111.555),
        (US, 40.0, 12.0, 66.0, 533.965),
    ],
)
def test_drained_run_against_hand_worked_values(system, water, ring, seconds, rate):
    result = compute_rate(reading(system, ring, water, seconds))
    assert (result.value, result.sign) == (
        pytest.approx(rate, abs=6e-4),
        "",
    )  # to the printed digit
    assert result.constant == CONSTANT[system]


def test_one_physical_test_in_both_systems_agrees_within_a_hundredth_of_a_percent_but_differs():
    si = compute_rate(reading(SI, 300.0, 18.0, 60.0)).in_h
    us = compute_rate(reading(US, 11.81102, 39.68321, 60.0)).in_h
    assert si == pytest.approx(601.5310, abs=5e-4)
    assert us == pytest.approx(601.5052, abs=5e-4)
    assert (si - us) / us == pytest.approx(4.3e-5, abs=2e-6)


def test_constants_against_first_principles():
    assert CONSTANT[SI] == pytest.approx(4 / math.pi * 1e6 * 3600, rel=1e-5)
    assert CONSTANT[US] == pytest.approx(4 / math.pi * 1728 / 62.43 * 3600, rel=1e-5)


@pytest.mark.parametrize(
    ("water", "threshold", "seconds"), [(8, 10, 704.83), (8, 20, 352.42), (40, 10, 3524.17)]
)
def test_time_at_a_threshold_gives_the_threshold(water, threshold, seconds):
    rate = compute_rate(reading(water=water, seconds=seconds))
    assert rate.value == pytest.approx(threshold, rel=1e-4)


@pytest.mark.parametrize(
    ("water", "threshold", "seconds"),
    # 4 583 666 000 * 3.6 / (300^2 * 254) and so on, by hand
    [(3.6, 254, 721.837), (3.6, 508, 360.919), (18, 254, 3609.186)],
)
def test_time_at_a_threshold_gives_the_threshold_in_si_too(water, threshold, seconds):
    rate = compute_rate(reading(SI, 300.0, water, seconds))
    assert rate.value == pytest.approx(threshold, rel=1e-5)


@pytest.mark.parametrize(
    ("system", "ring", "water", "left", "bound", "estimate"),
    [
        # 126 870 * 8 / (144 * 1800) and, with what was left taken off, * 2.9; then the same in SI
        (US, 12.0, 8.0, 5.1, 3.9157, 1.4195),
        (US, 12.0, 40.0, None, 19.5787, None),
        (SI, 300.0, 3.6, 2.3, 101.8592, 36.7825),
        (SI, 300.0, 18.0, None, 509.2962, None),
    ],
)
def test_run_stopped_at_half_an_hour_is_a_bound_in_either_system(
    system, ring, water, left, bound, estimate
):
    rate = compute_rate(reading(system, ring, water, 1800.0, ended=Ended.STOPPED, water_left=left))
    assert (rate.sign, rate.value) == ("<", pytest.approx(bound, abs=1e-4))
    assert rate.estimate == (None if estimate is None else pytest.approx(estimate, abs=1e-4))


@pytest.mark.parametrize(
    ("prewet", "us", "si"), [(29.9, 40.0, 18.0), (30.0, 8.0, 3.6), (57.0, 8.0, 3.6)]
)
def test_water_after_the_prewet_switches_at_exactly_30_s(prewet, us, si):
    assert (required_water(prewet, US), required_water(prewet, SI)) == (us, si)


def test_worked_example_n1_ring_12_40_lb_352_4_s_is_100_in_h():
    assert show(compute_rate(reading(seconds=352.4)).mm_h, Kind.RATE, US) == "100 in/h"


def test_worked_example_n1_ring_300_18_kg_60_s_is_15_279_mm_h_shown_602_in_h():
    rate = compute_rate(reading(SI, 300, 18, 60))
    assert show(rate.mm_h, Kind.RATE, SI) == "15\u202f279 mm/h"
    assert show(rate.mm_h, Kind.RATE, US) == "602 in/h"


def test_worked_example_n3_stopped_with_water_weighed_is_a_bound_with_an_estimate():
    rate = compute_rate(
        reading(ring=12.05, water=8.02, seconds=1800, ended=Ended.STOPPED, water_left=5.1)
    )
    assert show(rate.mm_h, Kind.RATE, US, sign=rate.sign) == "< 3.9 in/h"
    assert rate.is_bound
    assert rate.estimate == pytest.approx(1.4, abs=0.05)


def test_worked_example_n3_40_lb_stopped_at_30_min_is_below_19_6():
    rate = compute_rate(reading(seconds=1800, ended=Ended.STOPPED))
    assert show(rate.mm_h, Kind.RATE, US, sign=rate.sign) == "< 19.6 in/h"
    assert rate.estimate is None


def test_too_fast_to_hold_a_head_is_a_bound_the_other_way():
    # 40.02 lb gone in 11.0 s through a 12.02 in ring: printed "> 3,190"
    rate = compute_rate(reading(ring=12.02, water=40.02, seconds=11.0, ended=Ended.TOO_FAST))
    assert rate.sign == ">"
    assert rate.value == pytest.approx(3190, abs=5)


def test_all_water_left_gives_no_estimate_and_no_zero():
    rate = compute_rate(reading(water=8, seconds=1800, ended=Ended.STOPPED, water_left=8))
    assert rate.estimate is None
    assert rate.value > 0


@pytest.mark.parametrize(
    "changes",
    [
        {"seconds": 0.0},
        {"ring": 0.0},
        {"water": -1.0},
        {"water": math.nan},
        {"seconds": math.inf},
        {"prewet_seconds": -3.0},
        {"water_left": 3.0},
        {"ended": Ended.STOPPED, "water_left": 41.0},
        {"ended": Ended.STOPPED, "water_left": -1.0},
    ],
)
def test_numbers_no_test_can_have_are_refused(changes):
    with pytest.raises(InvalidReading):
        reading(**changes)


def test_mixing_pounds_with_millimetres_is_refused():
    ring, water = read_quantity("300 mm", Kind.RING), read_quantity("40 lb", Kind.MASS)
    with pytest.raises(UnitError, match="mixed"):
        reading_from_written(ring, water, method=Method.C1701, ended=Ended.DRAINED, seconds=60)


def test_written_quantities_are_computed_in_the_system_they_were_written_in():
    written = reading_from_written(
        read_quantity("30 cm", Kind.RING),
        read_quantity("18 000 g", Kind.MASS),
        method=Method.C1701,
        ended=Ended.DRAINED,
        seconds=60.0,
    )
    assert written.system is SI
    assert compute_rate(written).value == pytest.approx(15278.887, rel=1e-6)


def test_a_mass_in_place_of_a_ring_is_refused():
    with pytest.raises(InvalidReading, match="ring diameter"):
        reading_from_written(
            read_quantity("12 lb", Kind.MASS),
            read_quantity("40 lb", Kind.MASS),
            method=Method.C1701,
            ended=Ended.DRAINED,
            seconds=60.0,
        )


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"ring": None}, "ring_missing"),
        ({"water": None}, "water_missing"),
        ({"seconds": None}, "time_missing"),
        ({"method": Method.QUICK_POUR}, "not_to_standard"),
        ({"method": Method.OTHER}, "not_to_standard"),
        ({"ended": Ended.SPOILED}, "spoiled"),
    ],
)
def test_what_cannot_be_computed_says_why(changes, code):
    result = compute_rate(reading(**changes))
    assert isinstance(result, NoRate)
    assert result.code == code
    assert result.reason


def test_range_over_two_rings_is_shown_when_the_ring_is_not_written_down():
    found = rate_range_for_rings(reading(ring=None, seconds=74.2), (11.98, 12.05))
    assert found.spread == pytest.approx(0.012, abs=5e-4)  # printed: 1.2 %
    assert found.lowest.value == pytest.approx(471.0, abs=0.5)
    assert found.highest.value == pytest.approx(476.5, abs=0.5)


def test_range_without_any_known_ring_says_so():
    assert isinstance(rate_range_for_rings(reading(ring=None), ()), NoRate)


WATER, RING, TIME = st.floats(1, 60), st.floats(6, 24), st.floats(5, 7200)


@given(WATER, RING, TIME, st.floats(1.01, 10))
def test_more_time_or_a_wider_ring_is_always_a_lower_rate(water, ring, seconds, factor):
    rate = compute_rate(reading(ring=ring, water=water, seconds=seconds)).value
    assert compute_rate(reading(ring=ring, water=water, seconds=seconds * factor)).value < rate
    assert compute_rate(reading(ring=ring * factor, water=water, seconds=seconds)).value < rate
    assert compute_rate(reading(ring=ring, water=water * factor, seconds=seconds)).value > rate


@given(WATER, RING, TIME)
def test_both_systems_agree_on_any_test_within_a_hundredth_of_a_percent(water, ring, seconds):
    us = compute_rate(reading(US, ring, water, seconds))
    si = compute_rate(reading(SI, ring * 25.4, water * 0.45359237, seconds))
    assert isinstance(us, Rate)
    assert us.mm_h == pytest.approx(si.mm_h, rel=1e-4)
