"""Last days and notices in time (N20): table 1A as printed, the worked cases, and by hand.

That a term of years ends the day before its anniversary is common practice of contracts, no source;
the term itself decides. Leap days are those of the Gregorian calendar.
"""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import (
    ClaimError,
    Counted,
    NotGiven,
    NoticeRule,
    Part,
    counted_received,
    last_day,
    notice_time,
    part_of,
    remind_on,
    split_claim,
)
from tests.placing import dispute
from tests.placing.test_working_days import CALENDAR, HOURS, at

REPLACED = frozenset({"C5", "C6", "C7", "C8", "C9", "C10", "C11", "D8", "D9", "D10", "D11"})
WHOLE = Part("whole lot", None, date(2023, 9, 15), 2)
NEW = Part("replaced panels", REPLACED, date(2025, 6, 6), 1)


@pytest.mark.parametrize("row", dispute.table("1A_pavements"), ids=lambda row: row["job"])
def test_every_last_day_of_table_1a_as_printed(row):
    start = date.fromisoformat(row["substantial completion"])
    assert last_day(start, int(row["warranty yr"])) == date.fromisoformat(
        row["last day of warranty"]
    )


@pytest.mark.parametrize(
    ("start", "years", "last"),
    [
        (date(2024, 2, 29), 1, date(2025, 2, 28)),
        (date(2024, 2, 29), 4, date(2028, 2, 28)),
        (date(2023, 9, 15), 2, date(2025, 9, 14)),
        (date(2023, 3, 1), 1, date(2024, 2, 29)),
        (date(2023, 1, 1), 1, date(2023, 12, 31)),
    ],
)
def test_case_40_a_term_from_29_february_ends_on_the_28th_and_the_worked_cases(start, years, last):
    """The day before the anniversary, counted by hand on a calendar; common practice, no source."""
    assert last_day(start, years) == last


def test_without_an_agreed_start_there_is_no_last_day():
    assert last_day(None, 2) == NotGiven("The start date is not agreed.")
    assert Part("x", None, None, 2).last_day == last_day(None, 2)
    assert remind_on(last_day(None, 2)) == last_day(None, 2)


def test_the_reminder_comes_sixty_days_before():
    assert remind_on(date(2025, 9, 14)) == date(2025, 7, 16)


def test_an_agreement_may_end_it_early_but_not_later():
    assert Part("x", None, date(2023, 9, 15), 2, date(2024, 1, 31)).last_day == date(2024, 1, 31)
    assert Part("x", None, date(2023, 9, 15), 2, date(2030, 1, 1)).last_day == date(2025, 9, 14)


@pytest.mark.parametrize("years", [0, 31, -1])
def test_years_that_no_contract_has_are_refused(years):
    with pytest.raises(ClaimError):
        last_day(date(2024, 1, 1), years)


def test_case_53_replaced_panels_have_their_own_last_day():
    assert NEW.last_day == date(2026, 6, 5)
    assert part_of("C8", [WHOLE, NEW], date(2025, 7, 1)) == NEW
    assert part_of("A1", [WHOLE, NEW], date(2025, 7, 1)) == WHOLE
    assert part_of("C8", [WHOLE, NEW], date(2024, 7, 1)) == WHOLE


def test_case_53_a_claim_over_both_is_split():
    found = split_claim(["C8", "A1", "D9", "B2"], [WHOLE, NEW], date(2025, 8, 1))
    assert found == ((NEW, ("C8", "D9")), (WHOLE, ("A1", "B2")))


def test_parts_opened_on_their_own_days():
    first = Part("lane A", frozenset({"A1"}), date(2023, 9, 1), 1)
    second = Part("lane B", frozenset({"B1"}), date(2023, 10, 1), 1)
    groups = split_claim(["A1", "B1", "C1"], [first, second], date(2023, 11, 1))
    assert [part for part, _ in groups[:2]] == [first, second]
    assert groups[2] == (NotGiven("No warranty is recorded for C1."), ("C1",))


def test_the_notice_of_the_dispute_is_in_time_after_11_days():
    counted = counted_received(at("2024-04-26 17:42"), HOURS, CALENDAR)
    found = notice_time(counted, WHOLE.last_day, discovered_on=date(2024, 4, 18), notice_days=30)
    assert (found.notice_by, found.days_used) == (date(2024, 5, 18), 11)
    assert found.in_time is True


def test_case_52_a_notice_at_23_50_of_the_last_day_is_in_time():
    arrived = datetime(2025, 9, 14, 23, 50, tzinfo=ZoneInfo("America/New_York"))
    counted = counted_received(arrived, NoticeRule("America/New_York"), CALENDAR)
    assert notice_time(counted, WHOLE.last_day).in_time is True
    elsewhere = counted_received(arrived, NoticeRule("Europe/Paris"), CALENDAR)
    assert notice_time(elsewhere, WHOLE.last_day).in_time is False


def on(text: str) -> Counted:
    return counted_received(at(f"{text} 09:00"), HOURS, CALENDAR)


def test_a_notice_too_long_after_discovery_is_not_in_time():
    found = notice_time(
        on("2024-05-20"), WHOLE.last_day, discovered_on=date(2024, 4, 18), notice_days=30
    )
    assert (found.in_period, found.in_notice_days, found.in_time) == (True, False, False)


def test_what_is_not_known_is_neither_in_time_nor_late():
    unknown = notice_time(on("2024-05-20"), WHOLE.last_day, notice_days=30)
    assert unknown.in_time == NotGiven("The day of discovery is not known.")
    no_start = notice_time(on("2024-05-20"), last_day(None, 2))
    assert no_start.in_time == NotGiven("The start date is not agreed.")
    late = notice_time(on("2025-09-15"), WHOLE.last_day, notice_days=30)
    assert late.in_time is False


def test_a_discovery_after_the_notice_is_refused():
    with pytest.raises(ClaimError, match="after the notice"):
        notice_time(on("2024-04-26"), WHOLE.last_day, discovered_on=date(2024, 5, 1), notice_days=9)


@given(st.dates(date(2000, 1, 1), date(2060, 12, 31)), st.integers(1, 30))
def test_the_day_after_the_last_day_is_never_before_the_anniversary_month_and_day(start, years):
    last = last_day(start, years)
    assert last.year in {start.year + years, start.year + years - 1}
    assert 365 * years - 2 <= (last - start).days <= 366 * years - 1
