"""Order within a day follows what the record says; a date alone is no midnight."""

from datetime import date, datetime, timedelta

import pytest

from registry.gathering.same_day import SameDay

ON = date(2024, 5, 1)
KEY = (1, ON)


def at(hour, minute=0, second=0):
    return datetime(2024, 5, 1, hour, minute, second)


def cleaned(clock=None):
    return SameDay.of([(1, ON, clock)])


def test_with_nothing_told_both_stand_at_noon_of_their_day():
    order = cleaned()
    assert order.test_clock((1, date(2024, 5, 2)), None, "") == datetime(2024, 5, 2, 12)
    assert order.cleaning_clock(KEY, None) == at(12)


@pytest.mark.parametrize("clock", [at(0, 30), at(10), at(12), at(23, 59)])
def test_cleaning_without_a_clock_comes_before_a_clocked_test_told_to_be_after_it(clock):
    order = cleaned()
    assert order.test_clock(KEY, clock, "after") == clock
    assert order.cleaning_clock(KEY, None) < clock


@pytest.mark.parametrize("clock", [at(0), at(12), at(15), at(23, 59)])
def test_cleaning_without_a_clock_comes_no_earlier_than_a_test_told_to_be_before_it(clock):
    order = cleaned()
    assert order.test_clock(KEY, clock, "before") == clock
    assert order.cleaning_clock(KEY, None) >= clock


def test_cleaning_without_a_clock_lies_between_the_tests_on_its_two_sides():
    order = cleaned()
    order.test_clock(KEY, at(14), "before")
    order.test_clock(KEY, at(16), "after")
    assert at(14) <= order.cleaning_clock(KEY, None) < at(16)


@pytest.mark.parametrize("clock", [at(3), at(12), at(22)])
def test_test_without_a_clock_goes_to_the_side_of_a_clocked_cleaning_it_was_told_to_be_on(clock):
    order = cleaned(clock)
    assert order.test_clock(KEY, None, "before") <= clock
    assert order.test_clock(KEY, None, "after") > clock
    assert order.cleaning_clock(KEY, clock) == clock


def test_clocks_that_were_written_are_never_moved():
    order = cleaned(at(9))
    assert order.test_clock(KEY, at(8), "after") == at(8)
    assert order.cleaning_clock(KEY, at(9)) == at(9)


def test_tests_that_contradict_each_other_leave_the_cleaning_at_noon():
    order = cleaned()
    order.test_clock(KEY, at(16), "before")
    order.test_clock(KEY, at(14), "after")
    assert order.cleaning_clock(KEY, None) == at(12)


def test_cleaning_of_another_pavement_or_day_changes_nothing():
    order = SameDay.of([(2, ON, at(3)), (1, ON + timedelta(days=1), at(3))])
    assert order.test_clock(KEY, None, "before") == at(6)
