"""Working days and counted-received dates (N20): the calendar of table 1J, counted by hand."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import ClaimError, NoticeRule, WorkCalendar, counted_received, holiday_list

HOLIDAYS = [date(2024, 5, 27), date(2024, 7, 4), date(2024, 9, 2)]
CALENDAR = holiday_list(HOLIDAYS)
SITE = "America/New_York"
HOURS = NoticeRule(SITE, closes=time(17, 0), working_days_only=True)


def at(text: str, zone: str = SITE) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone))


def test_case_51_a_notice_on_friday_at_17_42_counts_on_monday():
    found = counted_received(at("2024-04-26 17:42"), HOURS, CALENDAR)
    assert found.on == date(2024, 4, 29)
    assert found.why == (
        "Came Friday 2024-04-26 17:42 at the addressee’s place, after 17:00: counts as the next "
        "working day."
    )


@pytest.mark.parametrize(
    ("arrived", "on"),
    [
        ("2024-04-26 17:00", date(2024, 4, 26)),  # on the stroke is not after
        ("2024-04-26 03:10", date(2024, 4, 26)),
        ("2024-04-27 09:00", date(2024, 4, 29)),  # a Saturday
        ("2024-05-24 18:00", date(2024, 5, 28)),  # Friday evening before the holiday of 05-27
        ("2024-05-27 09:00", date(2024, 5, 28)),  # on the holiday itself
    ],
)
def test_hours_weekends_and_holidays_of_the_contract(arrived, on):
    assert counted_received(at(arrived), HOURS, CALENDAR).on == on


@pytest.mark.parametrize(
    ("came_utc", "on"),
    [
        ("2024-03-08 21:30", date(2024, 3, 8)),  # 16:30 by winter time, Friday
        ("2024-03-11 21:30", date(2024, 3, 12)),  # 17:30 by summer time, the Monday after
        ("2024-11-01 21:01", date(2024, 11, 4)),  # 17:01 by summer time, Friday
        ("2024-11-04 21:30", date(2024, 11, 4)),  # 16:30 by winter time, the Monday after
    ],
)
def test_hours_go_by_the_clock_of_the_place_on_both_sides_of_a_change_of_time(came_utc, on):
    """Clocks of New York went on on 2024-03-10 and back on 2024-11-03 (IANA time zone data)."""
    assert counted_received(at(came_utc, "UTC"), HOURS, CALENDAR).on == on


def test_business_hours_are_those_of_the_addressee_in_another_time_zone():
    """Friday 19:30 in New York is 16:30 in Los Angeles, and past midnight in Paris."""
    moment = at("2024-06-28 19:30")
    for zone, on in (("America/Los_Angeles", 28), ("Europe/Paris", 29)):
        rule = NoticeRule(zone, closes=time(17, 0))
        assert counted_received(moment, rule, CALENDAR).on == date(2024, 6, on), zone


@pytest.mark.parametrize(("days", "on"), [(4, "2024-12-30"), (5, "2024-12-31"), (6, "2025-01-02")])
def test_working_days_over_new_year_counted_by_hand(days, on):
    """From Monday 2024-12-23; 12-25 and 01-01 are holidays of the list, 12-28 and 29 a weekend."""
    calendar = holiday_list([date(2024, 12, 25), date(2025, 1, 1)])
    assert calendar.add(date(2024, 12, 23), days).isoformat() == on


def test_case_52_without_hours_in_the_term_ten_to_midnight_is_still_that_day():
    found = counted_received(at("2025-09-14 23:50"), NoticeRule(SITE), CALENDAR)
    assert found.on == date(2025, 9, 14)  # a Sunday: the term sets neither hours nor days
    assert found.why.endswith("counts on that day.")


def test_case_39_received_is_at_the_addressees_place():
    """23:50 in New York is 20:50 in Los Angeles, and 03:50 UTC of the next day."""
    moment = at("2025-09-14 23:50").astimezone(UTC)
    assert moment.date() == date(2025, 9, 15)
    assert counted_received(moment, NoticeRule(SITE), CALENDAR).on == date(2025, 9, 14)
    western = counted_received(moment, NoticeRule("America/Los_Angeles"), CALENDAR)
    assert (western.on, f"{western.arrived_at:%H:%M}") == (date(2025, 9, 14), "20:50")
    eastern = counted_received(moment, NoticeRule("Europe/Paris"), CALENDAR)
    assert eastern.on == date(2025, 9, 15)


def test_a_time_without_zone_and_a_zone_that_is_none_are_refused():
    with pytest.raises(ClaimError, match="needs its time zone"):
        counted_received(datetime(2024, 4, 26, 17, 42), HOURS, CALENDAR)
    with pytest.raises(ClaimError, match="not a time zone"):
        counted_received(at("2024-04-26 17:42"), NoticeRule("Nowhere/Here"), CALENDAR)


def test_a_day_says_why_it_is_no_working_day():
    assert CALENDAR.why_not(date(2024, 5, 27)) == "a holiday of the contract"
    assert CALENDAR.why_not(date(2024, 4, 27)) == "a Saturday"
    assert CALENDAR.why_not(date(2024, 4, 26)) == ""


def test_a_contract_with_other_days_of_rest():
    six_days = holiday_list([], rest=[6])
    assert six_days.add(date(2024, 4, 26), 1) == date(2024, 4, 27)


def test_a_calendar_without_a_working_day_is_refused():
    with pytest.raises(ClaimError):
        WorkCalendar(rest=frozenset(range(7)))
    endless = holiday_list([date.fromordinal(date(2024, 1, 1).toordinal() + n) for n in range(500)])
    with pytest.raises(ClaimError, match="over a year"):
        endless.on_or_after(date(2024, 1, 1))


@given(st.dates(date(2024, 1, 1), date(2024, 12, 31)), st.integers(0, 60))
def test_so_many_working_days_lie_after_the_start(start, days):
    end = CALENDAR.add(start, days)
    between = (date.fromordinal(n) for n in range(start.toordinal() + 1, end.toordinal() + 1))
    assert sum(1 for day in between if CALENDAR.is_working(day)) == days
    assert days == 0 or CALENDAR.is_working(end)


@pytest.mark.parametrize(
    ("arrived", "silent"),
    [
        ("2024-04-26 17:42", ""),
        ("2024-12-31 17:42", "2025"),  # the day after is a new year, of which the list is silent
        ("2025-02-03 09:00", "2025"),  # taken for a working day because the list says no other
        ("2025-02-03 17:42", "2025"),
    ],
)
def test_a_notice_counted_in_a_year_that_the_list_does_not_name_says_so(arrived, silent):
    why = counted_received(at(arrived), HOURS, CALENDAR).why
    assert (f"The holiday list names no day of {silent}:" in why) == bool(silent)


def test_a_notice_that_needs_no_working_day_or_a_list_without_any_holiday_says_nothing():
    by_clock = NoticeRule(SITE)
    assert "names no day" not in counted_received(at("2025-02-03 09:00"), by_clock, CALENDAR).why
    none = holiday_list(())
    assert "names no day" not in counted_received(at("2025-02-03 17:42"), HOURS, none).why


def test_every_silent_year_of_a_long_count_is_named():
    named = CALENDAR.not_listed(date(2023, 12, 1), date(2025, 1, 9))
    assert "names no day of 2023 and 2025:" in named
