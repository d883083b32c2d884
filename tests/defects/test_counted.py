"""Extents added without counting ground twice."""

import math

import pytest

from registry.defects import CannotCompare, Extended, count_once


def test_case_45_two_that_grew_into_one_are_counted_by_the_one_that_goes_on():
    counted = count_once(
        [Extended(1, 9.0, "m2"), Extended(2, 4.0, "m2", part_of=1), Extended(3, 2.5, "m2")]
    )
    assert counted.sums == {"m2": 11.5}
    assert counted.counted == (1, 3)
    assert counted.left_out == ((2, "part of 1"),)


def test_case_45_halves_of_a_saw_cut_are_not_added_to_the_whole():
    whole = [Extended("D-1", 5.0, "m2")]
    halves = [Extended(ref, 2.5, "m2", part_of="D-1") for ref in ("D-2", "D-3")]
    assert count_once(whole + halves).sums == count_once(whole).sums == {"m2": 5.0}


def test_case_45_what_grew_into_another_is_left_out_through_any_number_of_links():
    chain = [
        Extended(1, 1.0, "m", grew_into=2),
        Extended(2, 2.0, "m", grew_into=3),
        Extended(3, 7.0, "m"),
    ]
    assert count_once(chain).sums == {"m": 7.0}
    assert count_once(chain).left_out == ((1, "grew into 2"), (2, "grew into 3"))


def test_a_part_whose_whole_is_not_in_the_list_says_so():
    counted = count_once([Extended(2, 4.0, "m2", part_of=1)])
    assert counted.sums == {}
    assert counted.left_out == ((2, "part of 1, which is not in this list"),)


def test_units_are_never_added_to_each_other_and_heights_not_at_all():
    counted = count_once(
        [Extended(1, 4.0, "m2"), Extended(2, 3.0, "m"), Extended(3, 8, "count"),
         Extended(4, 6.4, "mm")]
    )  # fmt: skip
    assert counted.sums == {"m2": 4.0, "m": 3.0, "count": 8}
    assert counted.left_out == ((4, "heights are not added"),)


def test_what_was_not_measured_is_named_and_adds_nothing():
    counted = count_once([Extended(1, None, "m2"), Extended(2, 3.0, "m2")])
    assert (counted.sums, counted.unmeasured) == ({"m2": 3.0}, (1,))


def test_nothing_is_nothing():
    assert count_once([]).sums == {}


@pytest.mark.parametrize(
    ("defects", "words"),
    [
        ([Extended(1, 1.0, "m2"), Extended(1, 1.0, "m2")], "listed twice"),
        ([Extended(1, 1.0, "m2", part_of=1)], "part of itself"),
        (
            [Extended(1, 1.0, "m2", part_of=2), Extended(2, 1.0, "m2", grew_into=1)],
            "part of itself",
        ),
        ([Extended(1, -1.0, "m2")], "no extent"),
        ([Extended(1, math.nan, "m2")], "no extent"),
    ],
)
def test_links_and_extents_that_cannot_be_are_refused(defects, words):
    with pytest.raises(CannotCompare, match=words):
        count_once(defects)
