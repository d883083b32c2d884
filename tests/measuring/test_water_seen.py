"""Bounds of the drawdown from readings of wells, and what counts as ponding."""

import pytest

from registry.measuring.water_seen import DrawdownSeen, WellSeen, drawdown_seen, is_ponding


@pytest.mark.parametrize(
    ("stands", "minutes", "said"),
    [
        (None, None, None),
        (False, None, False),
        (True, None, True),
        (True, 10.0, False),  # under 10 min is no ponding: common practice, no source
        (True, 10.5, True),
    ],
)
def test_water_that_is_soon_gone_is_no_ponding(stands, minutes, said):
    assert is_ponding(stands, minutes) is said


def test_reading_with_water_says_longer_and_a_dry_one_no_longer():
    one = [WellSeen("W1", 12, False), WellSeen("W1", 30, False), WellSeen("W1", 46, True)]
    assert drawdown_seen(one) == DrawdownSeen(30, 46, "W1")


def test_slowest_well_decides_and_each_has_to_be_dry():
    two = [WellSeen("W1", 20, True), WellSeen("W2", 50, False)]
    assert drawdown_seen(two) == DrawdownSeen(50, None, "W2")
    assert drawdown_seen([*two, WellSeen("W2", 60, True)]) == DrawdownSeen(50, 60, "W2")


def test_water_after_a_dry_reading_takes_the_dry_one_back():
    """It ran in from beside, or it rained again: the dry reading is no end of it."""
    again = [WellSeen("W1", 20, True), WellSeen("W1", 40, False)]
    assert drawdown_seen(again) == DrawdownSeen(40, None, "W1")


def test_readings_before_the_rain_ended_say_nothing():
    assert drawdown_seen([WellSeen("W1", -1, False)]) == DrawdownSeen()
    assert drawdown_seen([]) == DrawdownSeen()
