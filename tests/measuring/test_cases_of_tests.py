"""The awkward cases of testing, by number, as far as arithmetic and rules go.

Water masses, 30 s, 24 h, 1 m and two runs a day: ASTM C1701/C1701M, from memory of the standard.
The rest: common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from registry.measuring import (
    Earlier,
    Ended,
    Method,
    NoRate,
    RingReading,
    Surroundings,
    UseKind,
    area_slip,
    compute_rate,
    decide_use,
    find_doubts,
    may_accept,
)
from registry.units import System

IN = 25.4
DAY = date(2026, 5, 20)
NOON = datetime(2026, 5, 20, 16, tzinfo=UTC)
DRY = Surroundings(on=DAY, at=NOON, rain_within_24h=False)
GOOD = RingReading(
    System.INCH_POUND,
    Method.C1701,
    Ended.DRAINED,
    ring=12.0,
    water=8.0,
    seconds=120.0,
    prewet_water=8.0,
    prewet_seconds=60.0,
)


def codes(reading: RingReading = GOOD, around: Surroundings = DRY) -> dict[str, tuple[bool, bool]]:
    return {d.code: (d.blocks_trend, d.blocks_acceptance) for d in find_doubts(reading, around)}


def use(reading: RingReading = GOOD, around: Surroundings = DRY):
    return decide_use(reading, compute_rate(reading), find_doubts(reading, around))


OUT, NOT_TO_STANDARD, ASKS = (True, True), (False, True), (False, False)


def test_a_good_test_raises_no_doubt_and_is_for_trend():
    assert codes() == {}
    assert use().kind is UseKind.TREND
    assert may_accept(compute_rate(GOOD), ()) == (True, "")


def earlier(in_h: float, days: int = 365, **changes) -> Earlier:
    return Earlier(DAY - timedelta(days), in_h * IN, Method.C1701, **changes)


@pytest.mark.parametrize(("hours", "kept_out"), [(18.33, True), (23.99, True), (24.0, False)])
def test_case_01_under_24_hours_at_the_same_spot_on_another_day(hours, kept_out):
    before = NOON - timedelta(hours=hours)
    other = Earlier(DAY - timedelta(1), 455 * IN, Method.C1701, at=before)
    assert ("under_24_h" in codes(around=replace(DRY, earlier=(other,)))) is kept_out


def test_case_01_the_day_before_without_a_clock_is_asked_about():
    found = codes(around=replace(DRY, earlier=(earlier(455, days=1),)))
    assert found["24_h_not_shown"] == NOT_TO_STANDARD


def test_case_02_a_second_run_within_5_min_needs_no_prewet():
    second = replace(GOOD, prewet_water=None, prewet_seconds=None)
    assert codes(second, replace(DRY, run=2, seconds_after_last_run=300)) == {}
    late = codes(second, replace(DRY, run=2, seconds_after_last_run=301))
    assert late == {"second_run_late": ASKS}
    assert codes(second, replace(DRY, run=2)) == {"second_run_time_unknown": ASKS}


def test_case_02_a_second_run_with_its_own_prewet_is_judged_by_it():
    again = replace(DRY, run=2, seconds_after_last_run=1200, prewet_again=True)
    assert codes(replace(GOOD, prewet_seconds=20.0), again) == {"wrong_water": NOT_TO_STANDARD}


def test_case_03_a_third_run_is_kept_as_looked_at():
    assert use(around=replace(DRY, run=3)).code == "third_run"


def test_case_04_a_stopped_run_is_used_as_a_bound():
    stopped = replace(GOOD, ended=Ended.STOPPED, seconds=1800.0)
    assert compute_rate(stopped).sign == "<"
    assert use(stopped).kind is UseKind.BOUND


def test_case_05_water_left_makes_an_estimate_that_leaves_the_bound_as_it_is():
    stopped = replace(GOOD, ended=Ended.STOPPED, seconds=1800.0, water_left=5.1)
    with_estimate = compute_rate(stopped)
    assert with_estimate.estimate == pytest.approx(1.42, abs=5e-3)
    assert replace(with_estimate, estimate=None) == compute_rate(replace(stopped, water_left=None))


def test_case_08_too_fast_is_a_bound_and_asks_for_a_look_at_the_spot():
    fast = replace(GOOD, ended=Ended.TOO_FAST, water=40.0, seconds=11.0, prewet_seconds=2.1)
    assert codes(fast) == {"too_fast": ASKS}
    assert use(fast).kind is UseKind.BOUND


def test_case_08_a_core_hole_in_the_ring_keeps_it_out():
    found = codes(around=replace(DRY, crack_in_ring=True))
    assert found == {"crack_in_ring": OUT}


@pytest.mark.parametrize(("prewet", "water"), [(30.0, 8.0), (29.9, 40.0)])
def test_case_09_prewet_of_exactly_30_s_takes_8_lb(prewet, water):
    assert codes(replace(GOOD, prewet_seconds=prewet, water=water, seconds=400.0)) == {}
    wrong = 48.0 - water
    found = codes(replace(GOOD, prewet_seconds=prewet, water=wrong, seconds=400.0))
    assert found == {"wrong_water": NOT_TO_STANDARD}


def test_case_10_40_lb_after_a_57_s_prewet_is_computed_but_not_for_acceptance():
    heavy = replace(GOOD, water=40.0, prewet_seconds=57.0)
    doubts = find_doubts(heavy, DRY)
    assert use(heavy).kind is UseKind.TREND
    assert may_accept(compute_rate(heavy), doubts)[0] is False
    assert "57 s" in doubts[0].message


def test_case_10_a_prewet_that_is_not_written_down_is_not_to_the_standard():
    assert codes(replace(GOOD, prewet_seconds=None)) == {"prewet_time_missing": NOT_TO_STANDARD}
    assert codes(replace(GOOD, prewet_water=None)) == {"prewet_water_missing": ASKS}
    assert codes(replace(GOOD, prewet_water=5.0)) == {"wrong_prewet_water": NOT_TO_STANDARD}


def test_case_11_a_missing_ring_is_not_computed():
    assert use(replace(GOOD, ring=None)).code == "ring_missing"
    assert use(replace(GOOD, ring=None)).kind is UseKind.NOT_COMPUTED


def test_case_12_an_assumed_ring_is_visible_and_the_rate_is_of_the_ring_given():
    assumed = replace(GOOD, ring_assumed=True)
    assert codes(assumed) == {"ring_assumed": NOT_TO_STANDARD}
    measured = compute_rate(replace(GOOD, ring=12.05)).value
    assert compute_rate(assumed).value / measured == pytest.approx((12.05 / 12.0) ** 2)


def test_case_13_kilograms_in_the_pound_column_are_caught_by_the_pour_and_the_prewet():
    slip = replace(GOOD, water=18.14, prewet_seconds=16.2, seconds=116.5, ring=12.05)
    doubts = find_doubts(slip, DRY)
    assert doubts[0].code == "water_other_system"
    assert "16.2 s calls for 40 lb" in doubts[0].message
    assert use(slip).kind is UseKind.LOOKED_AT
    assert compute_rate(slip).value == pytest.approx(136, abs=0.5)  # nothing is mended


def test_case_13_pounds_in_the_kilogram_column_are_caught_too():
    slip = replace(GOOD, system=System.SI, ring=300.0, water=40.0, prewet_seconds=16.0,
                   prewet_water=3.6)  # fmt: skip
    assert "water_other_system" in codes(slip)


@pytest.mark.parametrize(("prewet", "asked"), [(None, True), (20.0, True), (60.0, False)])
def test_case_13_2_2_times_last_year_is_asked_about_unless_the_pour_fits_its_prewet(prewet, asked):
    rate = compute_rate(GOOD).in_h
    last = earlier(rate * 2.2046)
    found = codes(replace(GOOD, prewet_seconds=prewet), replace(DRY, earlier=(last,)))
    assert ("ratio_kg_lb" in found) is asked


@pytest.mark.parametrize(
    ("factor", "code"),
    [
        (25.4, "stated_ratio_mm_in"),
        (2.3622, "stated_ratio_mm_min_in_h"),
        (2.2046, "stated_ratio_kg_lb"),
        (1.2, "stated_rate_differs"),
    ],
)
def test_case_14_a_sheets_own_rate_is_held_against_its_readings(factor, code):
    stated = compute_rate(GOOD).mm_h * factor
    assert codes(around=replace(DRY, stated_mm_h=stated)) == {code: ASKS}


def test_case_14_a_rate_rounded_on_the_sheet_is_no_doubt():
    assert codes(around=replace(DRY, stated_mm_h=round(compute_rate(GOOD).in_h) * IN)) == {}


def test_case_14_without_raw_readings_nothing_is_computed():
    bare = replace(GOOD, water=None, seconds=None)
    assert use(bare, replace(DRY, stated_mm_h=3048 * IN)).kind is UseKind.NOT_COMPUTED


def test_case_14_a_jump_of_25_4_times_is_asked_about():
    last = earlier(compute_rate(GOOD).in_h * 25.4)
    assert "ratio_mm_in" in codes(around=replace(DRY, earlier=(last,)))


def test_case_14_a_ring_in_the_wrong_unit_is_caught():
    assert codes(replace(GOOD, ring=300.0))["ring_size"] == OUT
    assert codes(replace(GOOD, system=System.SI, ring=12.0, water=3.6,
                         prewet_water=3.6))["ring_size"] == OUT  # fmt: skip


def test_case_15_si_and_pound_tests_carry_their_own_constant():
    si = RingReading(System.SI, Method.C1701, Ended.DRAINED, 300.0, 18.0, 60.0)
    assert compute_rate(si).constant != compute_rate(GOOD).constant
    assert compute_rate(si).in_h == pytest.approx(601.531, abs=5e-4)


def test_case_16_3_42_s_is_too_short_for_a_ring():
    typed = replace(GOOD, water=40.02, prewet_seconds=21.0, seconds=3.42, ring=12.05)
    doubts = find_doubts(typed, DRY)
    assert doubts[0].code == "too_short"
    assert "3:42" in doubts[0].mend
    assert use(typed).code == "too_short"
    assert codes(replace(typed, seconds=5.0)) == {}


def test_time_beyond_the_30_min_at_which_a_run_is_stopped_is_asked_about_and_kept():
    """Common practice, no source: 3:42 typed as 3 h 42 min, or 222.0 s without its point."""
    assert codes(replace(GOOD, seconds=1800.0, prewet_seconds=1800.0)) == {}
    for typed, meant in ((13_320.0, "3:42"), (86_400.0, "24:00")):
        [doubt] = find_doubts(replace(GOOD, seconds=typed), DRY)
        assert (doubt.code, meant in doubt.mend, doubt.blocks_trend) == ("too_long", True, False)
    slow = replace(GOOD, prewet_seconds=1801.0, seconds=2000.0, ended=Ended.STOPPED)
    assert codes(slow) == {"too_long": ASKS, "prewet_too_long": ASKS}
    assert use(slow).kind is UseKind.BOUND


def test_case_18_rain_within_24_h_is_not_for_trend_and_unknown_rain_is_not_shown_dry():
    assert use(around=replace(DRY, rain_within_24h=True)).code == "wet_day"
    assert codes(around=replace(DRY, rain_within_24h=None)) == {"rain_unknown": NOT_TO_STANDARD}
    assert use(around=replace(DRY, standing_water=True)).code == "standing_water"


def test_case_19_a_cleaning_of_the_same_day_without_clocks_keeps_the_test_out():
    around = replace(DRY, same_day_cleaning="order unknown")
    assert use(around=around).code == "cleaning_order_unknown"
    assert codes(around=replace(DRY, same_day_cleaning="ordered")) == {}


@pytest.mark.parametrize(("share", "asked"), [(1.10, False), (1.249, False), (1.251, True)])
def test_case_20_above_125_percent_of_as_built_is_kept_and_asked_about(share, asked):
    around = replace(DRY, as_built_mm_h=compute_rate(GOOD).mm_h / share)
    assert codes(around=around) == ({"above_as_built": ASKS} if asked else {})
    assert use(around=around).kind is UseKind.TREND


def test_case_24_a_rise_of_three_times_without_a_cleaning_is_asked_about():
    rate = compute_rate(GOOD).in_h
    around = replace(DRY, earlier=(earlier(rate / 3.01),))
    assert codes(around=around) == {"rise_without_cleaning": ASKS}
    assert codes(around=replace(around, cleaning_since_last=True)) == {}
    assert codes(around=replace(DRY, earlier=(earlier(rate / 2.99),))) == {}


def test_case_24_only_plain_numbers_of_the_same_method_are_compared():
    rate = compute_rate(GOOD).in_h
    bound = earlier(rate / 10, sign="<")
    other = replace(earlier(rate / 10), method=Method.C1781)
    assert codes(around=replace(DRY, earlier=(bound, other))) == {}


@pytest.mark.parametrize("method", [Method.QUICK_POUR, Method.OTHER])
def test_case_25_a_quick_pour_gives_no_rate_and_is_looked_at_only(method):
    pour = replace(GOOD, method=method, ring=None)
    assert isinstance(compute_rate(pour), NoRate)
    assert use(pour).kind is UseKind.LOOKED_AT


@pytest.mark.parametrize(("celsius", "kept_out"), [(4.0, True), (40 / 9 + 1e-9, False), (5, False)])
def test_case_26_water_at_41_f_is_shown_and_under_40_f_is_not_for_trend(celsius, kept_out):
    found = codes(around=replace(DRY, water_temperature_c=celsius))
    assert found == ({"cold_water": OUT} if kept_out else {})
    rate = compute_rate(GOOD)  # no correction is made for temperature
    assert rate.value == pytest.approx(126_870 * 8 / (144 * 120))


def test_case_27_pavers_use_the_same_formula_under_their_own_method():
    assert compute_rate(replace(GOOD, method=Method.C1781)) == compute_rate(GOOD)


@pytest.mark.parametrize(
    ("around", "found"),
    [
        (replace(DRY, frost=True), {"frost": OUT}),
        (replace(DRY, leaves_on=True), {"leaves_on": OUT}),
        (replace(DRY, seal_leaking=True), {"seal_leaking": OUT}),
        (replace(DRY, hours_since_wash=47.0), {"washed_within_48h": OUT}),
        (replace(DRY, hours_since_wash=48.0), {}),
        (replace(DRY, nearest_spot_m=0.91), {"too_near": OUT}),
        (replace(DRY, nearest_spot_m=0.92), {}),
        (replace(DRY, marked_bucket=True), {"marked_bucket": ASKS}),
        (replace(DRY, pavement_age_days=6), {"under_7_days": NOT_TO_STANDARD}),
        (replace(DRY, pavement_age_days=-365), {"under_7_days": NOT_TO_STANDARD}),
        (replace(DRY, pavement_age_days=7), {}),
        (replace(DRY, wait_seconds=121), {"wait_too_long": NOT_TO_STANDARD}),
        (replace(DRY, wait_seconds=120), {}),
    ],
)
def test_what_else_is_asked_about_around_a_test(around, found):
    assert codes(around=around) == found


def test_the_nearest_spot_is_1_m_in_si_and_3_ft_in_inch_pound():
    si = RingReading(System.SI, Method.C1701, Ended.DRAINED, 300.0, 3.6, 120.0,
                     prewet_water=3.6, prewet_seconds=60.0)  # fmt: skip
    assert codes(si, replace(DRY, nearest_spot_m=0.95)) == {"too_near": OUT}
    assert codes(GOOD, replace(DRY, nearest_spot_m=0.95)) == {}


def test_a_spoiled_run_is_void():
    assert use(replace(GOOD, ended=Ended.SPOILED)).kind is UseKind.VOID


def test_all_the_reasons_of_a_test_kept_out_are_told():
    wet_and_cold = replace(DRY, rain_within_24h=True, water_temperature_c=1.0)
    reason = use(around=wet_and_cold).reason
    assert "Rain ended" in reason
    assert "water was at" in reason


@pytest.mark.parametrize(("stated", "summed", "asked"),
                         [(4800, 446, True), (446, 4800, True), (446, 440, False)])  # fmt: skip
def test_case_31_square_metres_in_the_square_foot_column_are_asked_about(stated, summed, asked):
    slip = area_slip(stated, summed)
    assert (slip is not None) is asked
    if slip:
        assert "10.76" in slip.message
        assert "sum of the panels decides" in slip.mend
