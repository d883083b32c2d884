"""The six rules against the failed pavement of the town."""

from dataclasses import replace
from datetime import date

import pytest

from registry.measuring import NoWidth, width_needed
from registry.planning.enough import is_sweeping_enough
from registry.planning.enough_facts import (
    Aftermath,
    AfterTest,
    Core,
    EnoughFacts,
    EnoughRule,
    LoadSincePlacing,
    Regained,
)
from registry.units import System
from tests.planning.demo_table import IN_H, number, rows

FT = 0.3048
ACTION = 21.0 * IN_H
C_12 = date(2024, 10, 8)
U = AfterTest(C_12, "U", C_12, 6.1 * IN_H, passes=2, is_best=True, dry=True)
W = replace(U, spot="W", mm_h=33 * IN_H)


def answer(rule: EnoughRule, **facts):
    found = is_sweeping_enough(EnoughFacts(**{"action_mm_h": ACTION, **facts}))
    return found.answers[rule - 1]


def test_c_12_says_that_cleaning_is_no_longer_enough():
    found = is_sweeping_enough(EnoughFacts(ACTION, after_tests=(U, W)))
    assert found.no_longer is True
    assert [a.rule for a in found.holding] == [EnoughRule.AFTER_THE_BEST]
    assert "U" in found.holding[0].words


def test_c_06_in_one_pass_decides_nothing():
    one_pass = replace(U, cleaned_on=date(2023, 6, 20), passes=1)
    assert answer(EnoughRule.AFTER_THE_BEST, after_tests=(one_pass,)).holds is None


@pytest.mark.parametrize("change", [{"dry": None}, {"dry": False}, {"passes": None}])
def test_the_first_rule_wants_a_dry_test_after_two_passes(change):
    found = answer(EnoughRule.AFTER_THE_BEST, after_tests=(replace(U, **change),))
    assert found.holds is None
    assert found.missing


def test_all_spots_above_is_enough_and_a_straddling_bound_is_open():
    assert answer(EnoughRule.AFTER_THE_BEST, after_tests=(W,)).holds is False
    bound = replace(W, sign="<")
    assert answer(EnoughRule.AFTER_THE_BEST, after_tests=(bound,)).holds is None


def test_back_below_twice_in_under_6_months():
    back = Aftermath(date(2024, 6, 1), None, date(2024, 11, 30))
    again = Aftermath(date(2025, 6, 1), None, date(2025, 11, 30))
    at_6_months = replace(again, below_on=date(2025, 12, 1))
    held = replace(again, above_on=date(2025, 12, 1), below_on=date(2026, 5, 1))
    assert answer(EnoughRule.BACK_BELOW, aftermaths=(back, again)).holds is True
    assert answer(EnoughRule.BACK_BELOW, aftermaths=(back, held)).holds is False
    # Below at 6 months: nobody tested earlier, so it may have been below before.
    assert answer(EnoughRule.BACK_BELOW, aftermaths=(back, at_6_months)).holds is None


def test_small_shares_after_two_cleanings():
    one = Regained(date(2024, 6, 1), "U", 0.2)
    same_day = replace(one, spot="W")
    other = replace(one, cleaned_on=date(2025, 6, 1), share=0.24)
    assert answer(EnoughRule.SMALL_SHARE, regained=(one, other)).holds is True
    assert answer(EnoughRule.SMALL_SHARE, regained=(one, same_day)).holds is False
    assert answer(EnoughRule.SMALL_SHARE, regained=(one, replace(other, share=0.25))).holds is False
    assert answer(EnoughRule.SMALL_SHARE, regained=(replace(one, sign=">"),)).holds is None
    assert answer(EnoughRule.SMALL_SHARE).holds is None


def test_the_cores_of_february_2025():
    row_a, at_20, at_40 = (
        Core(name, inches * 25.4, False)
        for name, inches in (("row A", 3), ("20 ft", 2), ("40 ft", 0))
    )
    told = answer(EnoughRule.CORE, cores=(at_40, at_20, row_a), system=System.INCH_POUND)
    assert told.holds is True
    assert told.words == (
        "Core 20 ft: fines 2.00 in deep, over 1.00 in; "
        "Core row A: fines 3.00 in deep, over 1.00 in."
    )
    assert answer(EnoughRule.CORE, cores=(at_40,)).holds is False
    assert answer(EnoughRule.CORE, cores=(replace(at_40, fines_mm=25.4),)).holds is False
    assert answer(EnoughRule.CORE, cores=(replace(at_40, bottom_closed=True),)).holds is True
    assert answer(EnoughRule.CORE, cores=(replace(at_40, bottom_closed=None),)).holds is None
    assert answer(EnoughRule.CORE).holds is None


@pytest.mark.parametrize("row", rows("2H_reserve.csv"), ids=lambda row: row["year"])
def test_table_7_2_h_says_in_which_year_the_width_ran_out(row):
    width = width_needed(
        intensity_mm_h=3.2 * IN_H,
        effective_run_on_m=109.6 * FT,
        strip_width_m=number(row["clogged strip ft"]) * FT,
        strip_rate_mm_h=1 * IN_H,
        field_rate_mm_h=float(row["rate of the field beyond it (W) in/h"]) * IN_H,
        width_m=48 * FT,
    )
    # The table prints one decimal and whole feet and per cent.
    assert width.width_m / FT == pytest.approx(float(row["width needed ft (N9)"]), abs=0.06)
    assert width.width_left_m / FT == pytest.approx(float(row["width left ft"]), abs=0.5)
    printed = float(row["reserve, % of 48 ft"].replace("%", ""))
    assert 100 * width.reserve == pytest.approx(printed, abs=0.6)
    leaves = row["at 3.2 in/h"] == "water leaves the lot"
    assert answer(EnoughRule.WIDTH, width=width).holds is leaves


def test_a_field_too_slow_for_rain_is_no_longer_enough_and_bounds_are_open():
    slow = NoWidth("field_too_slow", "The field cannot take the rain alone.")
    assert answer(EnoughRule.WIDTH, width=slow).holds is True
    assert answer(EnoughRule.WIDTH, width=NoWidth("bounds", "Two bounds.")).holds is None


def test_a_load_low_since_placing_that_cleaning_never_helped():
    low = LoadSincePlacing("load 4", 8 * IN_H, best_gain=1.1)
    fine = LoadSincePlacing("load 5", 300 * IN_H)
    assert answer(EnoughRule.SINCE_PLACING, loads=(fine, low)).holds is True
    assert (
        answer(EnoughRule.SINCE_PLACING, loads=(fine, replace(low, best_gain=2.0))).holds is False
    )
    assert (
        answer(EnoughRule.SINCE_PLACING, loads=(fine, replace(low, best_gain=None))).holds is None
    )
    assert answer(EnoughRule.SINCE_PLACING, loads=(fine,)).holds is False


def test_no_rule_is_judged_without_an_action_level_or_tests():
    found = is_sweeping_enough(EnoughFacts(None))
    assert found.no_longer is None
    assert len(found.open) == 6
    assert all(a.missing for a in found.open)


def test_still_enough_only_where_all_six_could_be_judged():
    width = width_needed(
        intensity_mm_h=80, effective_run_on_m=10, strip_width_m=1, strip_rate_mm_h=25,
        field_rate_mm_h=8000, width_m=15,
    )  # fmt: skip
    facts = EnoughFacts(
        ACTION,
        after_tests=(W,),
        regained=(Regained(C_12, "W", 0.6),),
        cores=(Core("1", 5.0, False),),
        width=width,
        loads=(LoadSincePlacing("load 1", 500 * IN_H),),
    )
    assert is_sweeping_enough(facts).no_longer is False
    assert is_sweeping_enough(replace(facts, cores=())).no_longer is None
