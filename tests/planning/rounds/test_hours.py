"""Hours as written and the instants they are: nights, changes of clocks, breaks.

Clocks in New York, IANA time zone database: 2026-11-01 06:00 UTC they go from 02:00 back to 01:00;
2027-03-14 07:00 UTC from 02:00 on to 03:00.
"""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.hours import (
    ClockSpan,
    DaySpan,
    WeekSpan,
    instants_of,
    open_spans,
    week,
)
from registry.planning.rounds.resting import after, before, begin_of, minutes_between
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rules import Rule
from tests.planning.rounds.small import MONDAY, TUESDAY, ZONE, at, crew, order, problem

BACK_ON, ON_ON = date(2026, 10, 31), date(2027, 3, 13)  # nights in which the clocks change
NIGHT = ClockSpan(time(22), time(6))
OPTIONS = SolveOptions(seed=1, most_iterations=50)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.mark.parametrize(("on", "hours"), [(MONDAY, 8), (BACK_ON, 9), (ON_ON, 7)])
def test_a_night_is_as_long_as_it_is(on: date, hours: int):
    begins, ends = instants_of(NIGHT, on, ZONE)
    assert ends - begins == timedelta(hours=hours)


def test_an_hour_that_comes_twice_opens_late_and_closes_early():
    on = date(2026, 11, 1)
    opens, _ = instants_of(ClockSpan(time(1, 30), time(5)), on, ZONE)
    assert opens == utc("2026-11-01T06:30")
    _, closes = instants_of(ClockSpan(time(0), time(1, 30)), on, ZONE)
    assert closes == utc("2026-11-01T05:30")


def test_an_hour_that_is_skipped_opens_late_and_closes_early():
    on = date(2027, 3, 14)
    opens, _ = instants_of(ClockSpan(time(2, 30), time(5)), on, ZONE)
    assert opens == utc("2027-03-14T07:30")  # 03:30 on the clock
    _, closes = instants_of(ClockSpan(time(0), time(2, 30)), on, ZONE)
    assert closes == utc("2027-03-14T06:30")  # 01:30 on the clock


def test_hours_over_midnight_belong_to_the_day_they_begin_on():
    hours = (WeekSpan(0, NIGHT),)
    tuesday = at("00:00", TUESDAY), at("23:00", TUESDAY)
    assert open_spans(hours, frozenset(), tuesday, ZONE) == ((tuesday[0], at("06:00", TUESDAY)),)
    assert open_spans(hours, frozenset({MONDAY}), tuesday, ZONE) == ()


def test_hours_that_touch_are_one():
    hours = (WeekSpan(0, ClockSpan(time(8), time(0))), WeekSpan(1, ClockSpan(time(0), time(6))))
    within = at("20:00"), at("23:00", TUESDAY)
    assert open_spans(hours, frozenset(), within, ZONE) == ((within[0], at("06:00", TUESDAY)),)


def test_no_hours_are_any_hours():
    within = at("20:00"), at("23:00", TUESDAY)
    assert open_spans((), frozenset(), within, ZONE) == (within,)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: ClockSpan(time(7, 0, 30), time(8)),
        lambda: ClockSpan(time(7, tzinfo=UTC), time(8)),
        lambda: WeekSpan(7, NIGHT),
        lambda: DaySpan(TUESDAY, MONDAY),
        lambda: crew(shifts=week([1, 1], time(7), time(8))),
        lambda: crew(people=0),
    ],
)
def test_hours_that_cannot_be_are_refused(wrong):
    with pytest.raises(RoundError):
        wrong()


# A shift in minutes 0 to 480 with breaks at 120-150 and 300-315.
ZERO = at("07:00")


def m(minutes: int) -> datetime:
    return ZERO + timedelta(minutes=minutes)


RESTS = ((m(120), m(150)), (m(300), m(315)))


@pytest.mark.parametrize(
    ("begins", "minutes", "ends"),
    [(0, 120, 120), (0, 121, 151), (120, 10, 160), (130, 10, 160), (0, 270, 300), (0, 271, 316)],
)
def test_work_rests_in_breaks(begins, minutes, ends):
    assert after(m(begins), minutes, RESTS) == m(ends)
    assert minutes_between(m(begins), m(ends), RESTS) == minutes
    assert begin_of(m(130), RESTS) == m(150)


@given(st.integers(0, 400), st.integers(1, 200))
def test_going_on_and_going_back_agree(begins, minutes):
    start = begin_of(m(begins), RESTS)
    ends = after(start, minutes, RESTS)
    assert before(ends, minutes, RESTS) == start
    assert minutes_between(start, ends, RESTS) == minutes


@pytest.mark.parametrize(
    ("on", "fits", "too_long"), [(MONDAY, 460, 461), (BACK_ON, 520, 521), (ON_ON, 400, 401)]
)
def test_a_night_shift_holds_what_its_hours_hold(on: date, fits: int, too_long: int):
    """Ten minutes to drive each way; eight hours by the clock are 8, 9 or 7 hours."""
    nights = crew(shifts=(WeekSpan(on.weekday(), NIGHT),))
    for minutes, placed in ((fits, True), (too_long, False)):
        work = order(service_minutes=minutes, earliest_on=on, latest_on=on)
        given = problem(work, crews=(nights,), first_on=on, days=1)
        plan = solve_round(given, OPTIONS).plan
        assert breaches_of(given, plan) == []
        assert bool(plan.days) is placed
        assert placed or plan.left_out[0].breach.rule is Rule.SHIFT


def test_a_site_open_over_midnight_is_served_by_a_shift_of_the_next_day():
    early = crew(shifts=week(range(5), time(0, 30), time(8)))
    work = order(windows=(WeekSpan(0, ClockSpan(time(22), time(2))),), earliest_on=TUESDAY)
    given = problem(work, crews=(early,))
    plan = solve_round(given, OPTIONS).plan
    assert breaches_of(given, plan) == []
    (day,) = plan.days
    assert day.on == TUESDAY and day.stops[0].ends_at <= at("02:00", TUESDAY)


def test_a_break_after_midnight_is_kept():
    nights = crew(shifts=week(range(5), time(22), time(6)), breaks=(ClockSpan(time(2), time(3)),))
    work = order(service_minutes=400)
    given = problem(work, crews=(nights,))
    plan = solve_round(given, OPTIONS).plan
    assert breaches_of(given, plan) == []
    assert plan.days[0].stops[0].ends_at - plan.days[0].stops[0].begins_at == timedelta(minutes=460)
