"""What follows from a day called off."""

from datetime import date

from registry.planning.called_off import after_call_off
from registry.planning.earliest_day import SeasonFacts
from registry.planning.methods import Method

FACTS = SeasonFacts(placed_on=date(2020, 1, 1))


def test_the_next_day_of_the_window_and_the_tests_that_go_stale():
    # Friday; the site is open on Saturdays. A test of 4 September is then 15 days old.
    found = after_call_off(
        date(2026, 9, 18),
        Method.VACUUM,
        FACTS,
        weekdays=frozenset({5}),
        before_tests={"U": date(2026, 9, 4), "W": date(2026, 9, 5)},
    )
    assert found.next_on == date(2026, 9, 19)
    assert found.stale_tests == ("U",)
    assert not found.misses_season


def test_a_closed_day_is_passed_over():
    found = after_call_off(
        date(2026, 9, 18), Method.VACUUM, FACTS,
        weekdays=frozenset({5}), closed_on=[date(2026, 9, 19)],
    )  # fmt: skip
    assert found.next_on == date(2026, 9, 26)


def test_what_misses_its_season_is_said():
    found = after_call_off(date(2026, 9, 30), Method.WASH_AND_VACUUM, FACTS)
    assert found.next_on == date(2026, 10, 1)
    assert found.misses_season


def test_a_site_without_any_day_has_none_and_every_test_goes_stale():
    found = after_call_off(
        date(2026, 9, 18), Method.VACUUM, FACTS,
        weekdays=frozenset(), before_tests={"U": date(2026, 9, 17)},
    )  # fmt: skip
    assert (found.next_on, found.stale_tests) == (None, ("U",))
