"""Hours of a week: for access, less those closed, while machines may be heard."""

from datetime import date, time

from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan
from registry.planning.rounds.week_hours import is_whole_week, open_week, week_spans

MONDAY, SUNDAY = 0, 6
H = 60
ALL = DaySpan(date(2026, 9, 14), date(2026, 9, 20))


def rows(*given):
    return [(day, ClockSpan(time(begins), time(ends % 24))) for day, begins, ends in given]


def test_no_hours_are_no_limit():
    assert is_whole_week(open_week([], [], []))


def test_closed_hours_are_taken_out_and_noise_cuts():
    access = rows((MONDAY, 5, 12))
    assert open_week(access, rows((MONDAY, 9, 10)), []) == [(5 * H, 9 * H), (10 * H, 12 * H)]
    assert open_week(access, [], rows((MONDAY, 7, 22))) == [(7 * H, 12 * H)]
    assert open_week(access, rows((MONDAY, 0, 24)), []) == []


def test_night_of_sunday_runs_into_monday():
    night = open_week(rows((SUNDAY, 22, 4)), [], [])
    assert night == [(0, 4 * H), (166 * H, 168 * H)]
    assert week_spans(night, ALL) == [
        WeekSpan(MONDAY, ClockSpan(time(0), time(4)), ALL),
        WeekSpan(SUNDAY, ClockSpan(time(22), time(0)), ALL),
    ]


def test_spans_are_cut_at_midnight():
    spans = week_spans([(20 * H, 50 * H)], ALL)
    assert [(s.weekday, str(s.span)) for s in spans] == [
        (0, "20:00-00:00"), (1, "00:00-00:00"), (2, "00:00-02:00"),
    ]  # fmt: skip
