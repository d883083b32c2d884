"""Did it work: accepted, in part, to redo, or not decided, and what to mind next."""

from dataclasses import replace
from datetime import date

import pytest

from registry.measuring import Method as RingMethod
from registry.measuring import Side, cleaning_gain
from registry.planning.checked_order import DoneOrder, SpotGain, Suggestion, judge_order
from registry.planning.methods import Method
from tests.planning.demo_table import IN_H

DAY = date(2024, 6, 4)
SWEEP = DoneOrder(Method.VACUUM, 1, 1, surface="dry")


def spot(name, before, after, *, dry=True, sign="", as_built=None) -> SpotGain:
    sides = (
        Side(DAY, before * IN_H, RingMethod.C1701, sign, dry),
        Side(DAY, after * IN_H, RingMethod.C1701, "", dry),
    )
    gain = cleaning_gain(*sides, DAY, as_built_mm_h=as_built and as_built * IN_H)
    return SpotGain(name, gain, after * IN_H)


# Cleaning C-10, worked example N7: 260 to 480, as-built 640.
WASH = DoneOrder(
    Method.WASH_AND_VACUUM, 1, 1, spots=(spot("U", 260, 480, as_built=640),),
    action_mm_h=18.6 * IN_H,
)  # fmt: skip


def test_c_10_is_accepted_with_its_gain():
    found = judge_order(WASH)
    assert found.suggestion is Suggestion.ACCEPT
    assert "U: gain 1.8." in found.reasons
    assert round(100 * WASH.spots[0].gain.share) == 58


def test_a_plain_sweep_needs_no_tests():
    found = judge_order(SWEEP)
    assert (found.suggestion, found.reasons) == (Suggestion.ACCEPT, ("All rows, 1 pass.",))


def test_c_12_worked_but_is_still_below():
    order = replace(WASH, spots=(spot("U", 3.9, 6.1, sign="<"),), action_mm_h=21 * IN_H)
    found = judge_order(order)
    assert found.suggestion is Suggestion.ACCEPT
    assert any("still below" in step for step in found.next_steps)


def test_pp_19_01_missed_three_bays():
    # A crew-day: 3 bays of 18 missed, cars left overnight.
    order = replace(SWEEP, rows_missed=(("bay 4", "car"), ("bay 5", "car"), ("bay 9", "car")))
    found = judge_order(order)
    assert found.suggestion is Suggestion.IN_PART
    assert "bay 9 (car)" in found.reasons[0]


@pytest.mark.parametrize(
    "change",
    [{"surface": "damp"}, {"surface": "wet"}, {"passes_asked": 2}, {"surface": "frost"}],
)
def test_what_was_not_done_as_asked_is_to_redo(change):
    assert judge_order(replace(SWEEP, **change)).suggestion is Suggestion.REDO


def test_a_wash_may_be_on_a_wet_surface():
    assert judge_order(replace(WASH, surface="wet")).suggestion is Suggestion.ACCEPT


def test_lower_than_before_is_to_redo_beyond_what_tests_differ_by():
    assert judge_order(replace(WASH, spots=(spot("U", 100, 80),))).suggestion is Suggestion.REDO
    assert judge_order(replace(WASH, spots=(spot("U", 100, 90),))).suggestion is Suggestion.ACCEPT


@pytest.mark.parametrize(
    ("order", "missing"),
    [
        (replace(WASH, spots=()), "dry tests before and after at one spot"),
        (
            replace(WASH, spots=(spot("U", 260, 480, dry=None),)),
            "that the tests before and after were dry",
        ),
        (replace(WASH, spots=(spot("U", 260, 480, dry=False),)),
         "dry tests before and after at one spot"),
        (replace(SWEEP, surface=""), "whether the surface was dry"),
        (replace(SWEEP, passes_done=None), "passes done"),
    ],
)  # fmt: skip
def test_what_is_missing_is_not_decided(order, missing):
    found = judge_order(order)
    assert found.suggestion is Suggestion.NOT_DECIDED
    assert found.missing == (missing,)


def test_a_weak_dry_vacuum_asks_for_a_wash_next():
    found = judge_order(replace(SWEEP, spots=(spot("U", 100, 120),)))
    assert any("wash and vacuum next" in step for step in found.next_steps)


def test_stone_of_the_surface_and_damage_are_not_passed_over():
    found = judge_order(replace(SWEEP, debris_look="aggregate", damage="stones pulled"))
    assert len(found.next_steps) == 2
    assert found.next_steps[0].startswith("Stone of the surface")
