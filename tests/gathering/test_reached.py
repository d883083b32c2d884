"""Cleanings of a place by day: the ends of a span count, and a wash stays the last one."""

from datetime import date

from registry.gathering.reached import CleaningsThere
from registry.models import Cleaning


def on(day):
    return date(2026, 5, day)


THERE = CleaningsThere.of(
    [
        Cleaning(done_on=on(2), method="wash_and_vacuum"),
        Cleaning(done_on=on(5), method="vacuum"),
        Cleaning(done_on=on(5), method="broom"),
        Cleaning(done_on=on(9), method="wash_then_vacuum"),
    ]
)


def test_cleanings_of_one_day_are_all_found():
    assert [c.method for c in THERE.on(on(5))] == ["vacuum", "broom"]
    assert THERE.on(on(4)) == ()


def test_both_ends_of_a_span_count():
    assert THERE.any_between(on(5), on(5))
    assert THERE.any_between(on(3), on(5))
    assert THERE.any_between(on(5), on(8))
    assert not THERE.any_between(on(6), on(8))
    assert not THERE.any_between(on(10), on(20))


def test_last_wash_is_no_later_than_the_day():
    assert THERE.last_wash(on(1)) is None
    assert THERE.last_wash(on(8)).done_on == on(2)
    assert THERE.last_wash(on(9)).done_on == on(9)
