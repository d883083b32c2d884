"""Run-on, required rate, action level, width and reserve against hand-worked values."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measuring import (
    InvalidDemand,
    NoWidth,
    RunOn,
    action_level,
    largest_intensity,
    largest_run_on_ratio,
    required_rate,
    runoff_m3_s,
    width_needed,
)

FT2, FT, IN = 0.09290304, 0.3048, 25.4
PAVED, SOIL = RunOn(11_520 * FT2, 0.95), RunOn(6_300 * FT2, 0.35, paved=False)


def test_required_rate_by_hand():
    # 4.0 (1 + 0.95 * 2.0) = 11.6 in/h
    demand = required_rate(4.0 * IN, 100, [RunOn(200, 0.95)])
    assert demand.required_mm_h / IN == pytest.approx(11.6)
    assert 20 / (demand.required_mm_h / IN) == pytest.approx(1.7241, abs=5e-5)
    assert 10 / (demand.required_mm_h / IN) == pytest.approx(0.8621, abs=5e-5)


def test_worked_example_n8_and_n10():
    demand = required_rate(3.2 * IN, 5_760 * FT2, [PAVED, SOIL])
    assert demand.ratio == pytest.approx(3.09, abs=5e-3)
    assert (demand.ratio_paved, demand.ratio_soil) == pytest.approx((2.0, 1.09375))
    assert demand.required_mm_h / IN == pytest.approx(10.5, abs=0.05)
    level = action_level(demand.required_mm_h)
    assert (level.mm_h / IN, level.made_by) == (pytest.approx(21.0, abs=0.05), "required rate")


def test_worked_example_n8_without_the_slope():
    demand = required_rate(3.2 * IN, 5_760 * FT2, [PAVED])
    assert demand.required_mm_h / IN == pytest.approx(9.3, abs=0.05)
    assert action_level(demand.required_mm_h).mm_h / IN == pytest.approx(18.6, abs=0.05)


def test_the_floor_decides_where_it_is_larger():
    level = action_level(4.7 * IN)
    assert (level.mm_h, level.made_by) == (254, "floor")
    assert action_level(5.0 * IN).made_by == "floor"


def test_one_area_in_doubt_marks_the_demand():
    doubtful = RunOn(10, 0.35, paved=False, in_doubt=True)
    assert required_rate(80, 100, [PAVED, doubtful]).run_on_assumed
    assert not required_rate(80, 100, [PAVED]).run_on_assumed


def test_rain_alone_without_run_on():
    demand = required_rate(80, 100, [])
    assert (demand.ratio, demand.required_mm_h) == (0, 80)


# Run-on times coefficient over 120 ft of edge, printed as 109.6 ft.
EFFECTIVE_FT = (11_520 * 0.95 + 6_300 * 0.35) / 120


def n9(strip_ft: float, field: float, **changes):
    given_values = {
        "intensity_mm_h": 3.2 * IN,
        "effective_run_on_m": EFFECTIVE_FT * FT,
        "strip_width_m": strip_ft * FT,
        "strip_rate_mm_h": 1 * IN,
        "field_rate_mm_h": field * IN,
        "width_m": 48 * FT,
        **changes,
    }
    return width_needed(**given_values)


@pytest.mark.parametrize(
    ("strip", "field", "width", "left", "reserve"),
    # the failed pavement of the invented town; 2024 is worked example N9
    [
        (6, 120, 3.1, 42, 81),
        (10, 75, 5.2, 38, 68),
        (14, 31, 13.7, 34, 42),
        (18, 18, 26.4, 30, 8),
        (22, 8.4, 76.7, 26, -106),
    ],
)
def test_table_7_2_h(strip, field, width, left, reserve):
    needed = n9(strip, field)
    assert needed.width_m / FT == pytest.approx(width, abs=0.051)
    assert needed.width_left_m / FT == pytest.approx(left)
    assert 100 * needed.reserve == pytest.approx(reserve, abs=0.51)
    assert needed.is_enough is (reserve > 0)
    assert needed.sign == ""


@pytest.mark.parametrize("field", [3.2, 1.0])
def test_a_field_too_slow_for_the_rain_gets_no_width(field):
    refused = n9(18, field)
    assert isinstance(refused, NoWidth)
    assert refused.reason == "The field cannot take the rain alone."


def test_a_field_only_known_to_be_above_a_low_bound_is_not_called_too_slow():
    assert n9(18, 2, field_sign=">").code == "field_bound"


def test_bounds_leave_their_sign_on_the_width_and_the_reserve():
    lower = n9(18, 18, strip_sign="<")
    assert (lower.sign, lower.reserve_sign, lower.is_enough) == (">", "<", None)
    assert n9(22, 8.4, strip_sign="<").is_enough is False
    assert n9(18, 18, field_sign=">").sign == "<"
    assert n9(22, 8.4, field_sign=">").is_enough is None
    assert n9(18, 18, strip_sign="<", field_sign=">").code == "bounds"


def test_a_strip_that_takes_the_rain_or_is_not_there_adds_nothing():
    alone = n9(0, 18)
    assert alone.width_m == pytest.approx(3.2 * EFFECTIVE_FT / (18 - 3.2) * FT)
    assert n9(18, 18, strip_rate_mm_h=5 * IN).width_m == pytest.approx(alone.width_m)
    assert n9(0, 18, strip_sign="<").sign == ""


def test_udfcd_20_in_h_at_ratio_2_takes_6_667_in_h():
    # Denver UDFCD: 20 in/h at R 2 with full runoff, i = 20 / 3
    assert largest_intensity(20, 1, [RunOn(2, 1.0)]) == pytest.approx(6.667, abs=5e-4)


def test_largest_run_on_ratio_by_hand():
    # (10 / 3 - 1) / 0.95
    assert largest_run_on_ratio(10, 3.0, 0.95) == pytest.approx(2.456, abs=5e-4)
    with pytest.raises(InvalidDemand):
        largest_run_on_ratio(2, 3, 0.95)


def test_rational_flow_by_hand():
    # 0.90 * 81.28 mm/h * 0.2023 ha / 360
    assert runoff_m3_s(0.90, 81.28, 2023) == pytest.approx(0.041107, abs=5e-7)
    # 0.90 * 3.2 in/h on half an acre: 1.440 with the rounded factor, 1.452 cfs exactly
    acre = 43_560 * FT2
    assert runoff_m3_s(0.90, 3.2 * IN, acre / 2) / 0.3048**3 == pytest.approx(1.452, abs=5e-4)
    # 1 in/h over one acre
    assert runoff_m3_s(1, IN, acre) / 0.3048**3 == pytest.approx(1.008333, abs=5e-7)


@pytest.mark.parametrize(
    "call",
    [
        lambda: RunOn(-1, 0.5),
        lambda: RunOn(1, 1.2),
        lambda: RunOn(1, -0.1),
        lambda: RunOn(float("nan"), 0.5),
        lambda: required_rate(0, 100, []),
        lambda: required_rate(80, 0, []),
        lambda: action_level(0),
        lambda: action_level(100, factor=0),
        lambda: n9(60, 18),
        lambda: n9(18, 18, width_m=0),
    ],
)
def test_numbers_that_cannot_be_are_refused(call):
    with pytest.raises(InvalidDemand):
        call()


AREA = st.floats(1, 1e5)


@given(AREA, AREA, st.floats(0, 1), st.floats(1, 200), st.floats(0.1, 10))
def test_the_unit_of_area_changes_nothing(area, run_on, coefficient, rain, factor):
    one = required_rate(rain, area, [RunOn(run_on, coefficient)])
    other = required_rate(rain, area * factor, [RunOn(run_on * factor, coefficient)])
    assert one.required_mm_h == pytest.approx(other.required_mm_h, rel=1e-9)
    assert one.required_mm_h >= rain


@given(AREA, st.floats(1, 200), st.floats(0.05, 1), st.floats(1, 1000))
def test_the_largest_intensity_is_just_taken(area, run_on, coefficient, rate):
    areas = [RunOn(run_on, coefficient)]
    rain = largest_intensity(rate, area, areas)
    assert required_rate(rain, area, areas).required_mm_h == pytest.approx(rate, rel=1e-9)
