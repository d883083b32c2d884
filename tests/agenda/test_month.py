"""Months as weeks; the shapes of known months."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.agenda import month_named, month_of

DAYS = st.dates(date(1900, 1, 1), date(2099, 12, 31))


def test_september_2026_begins_on_a_tuesday():
    month = month_of(date(2026, 9, 14))
    assert (month.begins_on, month.ends_on) == (date(2026, 8, 31), date(2026, 10, 4))
    assert (month.before, month.after, len(month.weeks)) == ("2026-08", "2026-10", 5)


def test_february_of_28_days_from_a_monday_is_four_weeks():
    assert len(month_of(date(2027, 2, 9)).weeks) == 4


@given(DAYS)
def test_weeks_are_whole_follow_each_other_and_hold_the_day(day):
    month = month_of(day)
    days = [d for week in month.weeks for d in week]
    assert {len(week) for week in month.weeks} == {7}
    assert days == [month.begins_on + timedelta(days=n) for n in range(len(days))]
    assert days[0].isoweekday() == 1  # ISO 8601: Monday is day 1
    assert day in days
    assert all(any(month.holds(d) for d in week) for week in month.weeks)


@given(DAYS)
def test_month_before_the_month_after_is_the_month(day):
    month = month_of(day)
    if month.after:
        assert month_named(month.after).before == f"{day:%Y-%m}"


@pytest.mark.parametrize(
    "text", ["", "2026", "2026-13", "2026-00", "26-09", "2026-9", "1899-12", "2100-01", "٢٠٢٦-09",
             "2026-09-01", "0000-01", "9999-12"]
)  # fmt: skip
def test_what_is_no_month_gives_none(text):
    assert month_named(text) is None


def test_first_and_last_month_have_nothing_beyond():
    assert month_named("1900-01").before == "" and month_named("2099-12").after == ""
