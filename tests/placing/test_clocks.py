"""Every clock of table 1J with its result. Working days by the contract's holiday list there."""

from datetime import date

import pytest

from registry.placing import ClaimError, Clock, Counting, Due, Limit, NotGiven, Result, clock, due
from tests.placing.test_working_days import CALENDAR

WORKING, DAYS = Counting.WORKING, Counting.CALENDAR
TODAY = date(2026, 10, 15)


def day(text: str) -> date:
    return date.fromisoformat(text)


@pytest.mark.parametrize(
    ("name", "event", "limit", "by", "done", "words"),
    [
        ("acknowledged", "2024-04-29", Limit(5, WORKING, "received"), "2024-05-06", "2024-05-02",
         "in time"),
        ("visit", "2024-04-29", Limit(15, WORKING, "received"), "2024-05-20", "2024-05-14",
         "in time"),
        ("finding", "2024-05-14", Limit(30, DAYS, "the visit"), "2024-06-13", "2024-06-17",
         "4 days late"),
        ("reply", "2024-06-17", Limit(20, WORKING, "the finding"), "2024-07-16", "2024-07-09",
         "in time"),
        ("evaluator", "2024-07-09", Limit(15, WORKING, "the dispute"), "2024-07-30", "2024-07-26",
         "in time"),
    ],
)  # fmt: skip
def test_the_clocks_of_table_1j_as_printed(name, event, limit, by, done, words):
    found = due(day(event), limit, CALENDAR)
    assert found.on == found.counted_on == day(by)
    assert clock(name, found, day(done), today=TODAY).words == words


def test_the_remedy_of_table_1j_goes_by_the_date_that_both_signed():
    limit = Limit(90, DAYS, "the settlement")
    found = due(day("2024-10-02"), limit, CALENDAR, agreed_on=day("2025-06-30"))
    assert (found.counted_on, found.on) == (day("2024-12-31"), day("2025-06-30"))
    assert found.why == (
        "90 days after the settlement. Both signed 2025-06-30 instead of 2024-12-31."
    )
    assert clock("remedy", found, day("2025-05-14"), today=TODAY).result is Result.IN_TIME
    unsigned = due(day("2024-10-02"), limit, CALENDAR)
    assert clock("remedy", unsigned, day("2025-05-14"), today=TODAY).words == "134 days late"


def test_a_remedy_that_nobody_did_is_overdue():
    """Table 1I, CB-8: due 2026-08-31; on 2026-10-15 that is 45 days."""
    found = due(day("2026-08-31"), Limit(0, DAYS, "the agreed date"), CALENDAR)
    assert clock("remedy", found, None, today=TODAY).words == "overdue by 45 days"


def test_case_51_a_last_day_on_a_holiday_moves_only_if_the_term_says_so():
    """30 days after 2024-04-27 is Monday 2024-05-27, a holiday of the contract."""
    stays = due(day("2024-04-27"), Limit(30, DAYS, "discovery"), CALENDAR)
    moves = due(day("2024-04-27"), Limit(30, DAYS, "discovery", to_working_day=True), CALENDAR)
    assert stays.on == day("2024-05-27")
    assert (moves.counted_on, moves.on) == (day("2024-05-27"), day("2024-05-28"))
    assert moves.why == (
        "30 days after discovery. 2024-05-27 is a holiday of the contract: the next working day "
        "counts."
    )


def test_a_clock_whose_event_has_no_date_does_not_run():
    found = due(None, Limit(30, DAYS, "the visit"), CALENDAR)
    assert found == NotGiven("Counts from the visit, which has no date yet.")
    idle = clock("finding", found, None, today=TODAY)
    assert (idle.result, idle.words) == (Result.NOT_RUNNING, found.reason)


@pytest.mark.parametrize(
    ("today", "words"),
    [("2024-05-03", "3 days left"), ("2024-05-05", "1 day left"), ("2024-05-06", "due today"),
     ("2024-05-07", "overdue by 1 day")],
)  # fmt: skip
def test_an_open_clock_says_what_is_left(today, words):
    found = Due(day("2024-05-06"), day("2024-05-06"), "")
    assert clock("acknowledged", found, None, today=day(today)).words == words


def test_done_on_the_last_day_is_in_time_and_one_later_is_one_day_late():
    found = Due(day("2024-05-06"), day("2024-05-06"), "")
    assert clock("x", found, day("2024-05-06"), today=TODAY).words == "in time"
    assert clock("x", found, day("2024-05-07"), today=TODAY).words == "1 day late"
    assert isinstance(clock("x", found, None, today=TODAY), Clock)


def test_the_rule_of_a_limit_in_words():
    assert Limit(5, WORKING, "the counted-received date").words == (
        "5 working days after the counted-received date"
    )
    assert Limit(1, DAYS, "the visit").words == "1 day after the visit"


@pytest.mark.parametrize("days", [-1, 4000])
def test_a_limit_that_no_contract_has_is_refused(days):
    with pytest.raises(ClaimError):
        Limit(days, DAYS, "x")


@pytest.mark.parametrize(
    ("event", "limit", "silent"),
    [
        ("2024-12-20", Limit(5, WORKING, "received"), ""),
        ("2024-12-27", Limit(5, WORKING, "received"), "2025"),
        ("2024-12-31", Limit(5, WORKING, "received"), "2025"),
        ("2024-12-01", Limit(62, DAYS, "received"), ""),  # calendar days need no list
        ("2024-12-01", Limit(62, DAYS, "received", to_working_day=True), "2025"),
    ],
)
def test_a_count_through_a_year_that_the_list_does_not_name_says_so(event, limit, silent):
    why = due(day(event), limit, CALENDAR).why
    assert (f"The holiday list names no day of {silent}:" in why) == bool(silent)
