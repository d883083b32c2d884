"""What is carried on at a spot: the last plain number of each method, and the last two days."""

from datetime import date, timedelta

from registry.gathering.spot_past import SpotPast
from registry.measuring.reading import Method
from registry.measuring.surroundings import Earlier
from registry.models import InfiltrationTest

DAY = date(2024, 5, 1)


def found(days, mm_h, method=Method.C1701, sign=""):
    return Earlier(DAY + timedelta(days), mm_h, method, sign)


def past_of(*results, reason=""):
    past = SpotPast()
    for result in results:
        past.open_day(result.on)
        past.add(InfiltrationTest(started_on=result.on, reason=reason), result)
    return past


def opened(past, days):
    past.open_day(DAY + timedelta(days))
    return past


def test_what_was_found_today_is_not_the_past_until_the_next_day():
    past = past_of(found(0, 500.0))
    assert (len(past.same_day), past.earlier) == (1, ())
    assert opened(past, 1).earlier == (found(0, 500.0),)
    assert past.same_day == []


def test_long_ago_only_the_last_plain_number_of_each_method_is_kept():
    results = (
        found(0, 500.0),
        found(10, 400.0),
        found(20, 300.0, sign="<"),
        found(30, None),
        found(40, 900.0, Method.QUICK_POUR),
    )
    past = opened(past_of(*results), 90)
    assert set(past.earlier) == {found(10, 400.0), found(40, 900.0, Method.QUICK_POUR)}


def test_bounds_of_the_last_two_days_are_kept_and_none_is_told_twice():
    past = past_of(found(0, 500.0), found(1, 300.0, sign="<"))
    assert opened(past, 2).earlier == (found(0, 500.0), found(1, 300.0, sign="<"))
    assert opened(past, 4).earlier == (found(0, 500.0),)


def test_first_number_of_the_open_day_is_told_by_its_method_and_no_bound_is_one():
    past = past_of(found(0, 500.0), found(0, 400.0))
    assert past.first_number_today(Method.C1701) == 500.0
    assert past.first_number_today(Method.C1781) is None
    assert past_of(found(0, 100.0, sign="<")).first_number_today(Method.C1701) is None
    assert opened(past, 1).first_number_today(Method.C1701) is None


def test_first_acceptance_is_the_as_built_rate_and_stays_it():
    past = past_of(found(0, 500.0), found(9, 700.0), reason="acceptance")
    assert (past.as_built_mm_h, past.last_number_on) == (500.0, DAY + timedelta(9))
    assert past_of(found(0, 500.0)).as_built_mm_h is None
