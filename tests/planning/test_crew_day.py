"""N22: days as the invented town wrote them, and a breach of every rule."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from registry.planning.crew_day import Call, DaySheet, Span, Stop, day_breaches
from registry.planning.faults import PlanningError
from registry.planning.rules import Rule
from tests.planning.demo_table import rows

ZONE = ZoneInfo("America/New_York")
TOTAL_H = {row["town no."]: float(row["total h (no travel)"]) for row in rows("3G_crew_round.csv")}


def span(day: str, begins: str, ends: str) -> Span:
    clocks = (
        datetime.fromisoformat(f"{day}T{clock}").replace(tzinfo=ZONE) for clock in (begins, ends)
    )
    return Span(*clocks)


def sheet(day, shift, ref, on_site, window=None, calls=()) -> DaySheet:
    stop = Stop(ref, 0, 60 * TOTAL_H[ref], span(day, *on_site), window, calls)
    return DaySheet(span(day, *shift), (stop,))


def rules(day: DaySheet) -> set[Rule]:
    return {broken.breach.rule for broken in day_breaches(day)}


def test_table_7_3_h_lists_these_days():
    days = {row["day"]: row["hours"] for row in rows("3H_week.csv")}
    assert days["Mon 2026-09-14"] == "05:00-13:30"
    assert days["Tue 2026-09-15"] == "07:00-15:30"


def test_monday_as_run_fits():
    day = "2026-09-14"
    window = span(day, "05:00", "09:00")
    monday = sheet(day, ("05:00", "13:30"), "PP-18-02", ("05:20", "07:10"), window)
    assert day_breaches(monday) == ()


def tuesday(last_load="14:50") -> DaySheet:
    # 5.9 h on site as run; the decant yard is open 07:00-15:00 and the last load came at 14:50.
    day = "2026-09-15"
    yard = Call("decant yard", Rule.DUMP_HOURS, span(day, "14:30", last_load),
                span(day, "07:00", "15:00"))  # fmt: skip
    return sheet(day, ("07:00", "15:30"), "PP-22-05", ("08:30", "14:24"), calls=(yard,))


def test_tuesday_as_run_fits():
    assert day_breaches(tuesday()) == ()


def test_a_load_after_the_dump_closes_is_named():
    assert rules(tuesday("15:10")) == {Rule.DUMP_HOURS}


def test_a_dump_of_unknown_hours_does_not_pass():
    day = tuesday()
    call = replace(day.stops[0].calls[0], open=None)
    unknown = replace(day, stops=(replace(day.stops[0], calls=(call,)),))
    assert rules(unknown) == {Rule.DUMP_HOURS}


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"window": span("2026-09-14", "05:30", "09:00")}, Rule.WINDOW),
        ({"on_site": span("2026-09-14", "05:20", "06:00")}, Rule.SERVICE),
        ({"travel_minutes": 30}, Rule.SHIFT),
    ],
)
def test_each_rule_of_a_stop(change, rule):
    stop = Stop("A", 0, 110, span("2026-09-14", "05:20", "07:10"))
    day = DaySheet(span("2026-09-14", "05:00", "13:30"), (replace(stop, **change),))
    assert rules(day) == {rule}


def test_too_little_time_between_stops_is_named():
    day = "2026-09-14"
    stops = (
        Stop("A", 0, 60, span(day, "07:00", "08:00")),
        Stop("B", 45, 60, span(day, "08:30", "09:30")),
    )
    assert rules(DaySheet(span(day, "07:00", "15:00"), stops)) == {Rule.TRAVEL}


def test_a_break_in_the_work_is_taken_off_the_time_on_site():
    day = "2026-09-14"
    stop = Stop("A", 0, 120, span(day, "10:00", "12:00"))
    with_break = DaySheet(span(day, "07:00", "15:00"), (stop,), (span(day, "11:00", "11:30"),))
    assert rules(with_break) == {Rule.SERVICE}


def test_travel_and_work_over_the_shift_less_breaks_are_named():
    day = "2026-09-14"
    stop = Stop("A", 20, 460, span(day, "07:20", "15:00"))
    full = DaySheet(span(day, "07:00", "15:00"), (stop,))
    assert day_breaches(full) == ()
    assert Rule.SHIFT in rules(replace(full, breaks=(span(day, "11:00", "11:30"),)))


def test_a_night_in_which_clocks_go_back_has_an_hour_more():
    # 2026-11-01 in New York: 02:00 becomes 01:00, so that 00:00 to 04:00 lasts 5 hours.
    stop = Stop("A", 0, 300, span("2026-11-01", "00:00", "04:00"))
    assert day_breaches(DaySheet(span("2026-11-01", "00:00", "04:00"), (stop,))) == ()


def test_a_span_without_a_zone_is_refused():
    with pytest.raises(PlanningError, match="time zone"):
        Span(datetime(2026, 9, 14, 7), datetime(2026, 9, 14, 8))


def test_the_hour_that_comes_twice_is_told_apart():
    # 01:30 of 2026-11-01 comes first in summer time, then an hour later in winter time.
    summer = datetime(2026, 11, 1, 1, 30, tzinfo=ZONE)
    hour = Span(summer, summer.replace(fold=1))
    assert hour.minutes == 60
    half = Span(datetime(2026, 11, 1, 1, 0, tzinfo=ZONE), summer)
    assert not half.holds(hour)
    assert hour.overlap_minutes(half) == 0


def test_stops_that_overlap_have_no_time_to_drive():
    day = "2026-09-14"
    stops = (
        Stop("A", 0, 60, span(day, "07:00", "08:00")),
        Stop("B", 0, 60, span(day, "07:30", "08:30")),
    )
    assert rules(DaySheet(span(day, "07:00", "15:00"), stops)) == {Rule.TRAVEL}
