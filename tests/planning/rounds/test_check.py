"""A bad plan fed by hand is caught, for every rule; a good one is let be."""

from dataclasses import replace
from datetime import date, time, timedelta
from pathlib import Path

import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.crew import DumpPlace, WaterPoint
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan, week
from registry.planning.rounds.order import Limits, Needs
from registry.planning.rounds.plan import LeftOut, StopKind
from registry.planning.rounds.problem import DayWeather
from registry.planning.rules import Breach, Rule
from tests.planning.rounds.small import (
    AS_OF,
    MONDAY,
    TUESDAY,
    WASH,
    at,
    crew,
    crew_day,
    machine,
    order,
    plan,
    problem,
    stop,
)

# Leaves 07:00, ten minutes to a, an hour there, ten minutes back.
GOOD = crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20")
WET, DRY = DayWeather(wet=True), DayWeather(wet=False)
TIP = DumpPlace(place="tip", minutes=20, hours=week(range(5), time(9), time(12)))
TAP = WaterPoint(place="tap", minutes=15, hours=week(range(5), time(7), time(12)))


def rules(problem, plan) -> list[Rule]:
    return [found.rule for found in breaches_of(problem, plan)]


def test_a_good_plan_is_let_be():
    assert breaches_of(problem(order()), plan(GOOD)) == []


# Each of these breaks one rule with the good plan, and is mended by what stands beside it.
BAD_ORDERS = [
    (Rule.METHOD, {"method": WASH}, {"method": "full vacuum"}),
    (Rule.AXLE, {"limits": Limits(axle_kg=5999)}, {"limits": Limits(axle_kg=6000)}),
    (Rule.HEIGHT, {"limits": Limits(height_m=3.1)}, {"limits": Limits(height_m=3.2)}),
    (Rule.WIDTH, {"limits": Limits(width_m=2.4)}, {"limits": Limits(width_m=2.5)}),
    (Rule.TURNING, {"limits": Limits(turning_m=11)}, {"limits": Limits(turning_m=12)}),
    (Rule.HOSE, {"needs": Needs(hose_m=31)}, {"needs": Needs(hose_m=30)}),
    (Rule.LICENCE, {"needs": Needs(licence="heavy")}, {"needs": Needs(licence="light")}),
    (Rule.PEOPLE, {"needs": Needs(people=3)}, {"needs": Needs(people=2)}),
    (Rule.DECANT, {"needs": Needs(wash_water=True)}, {"needs": Needs()}),
    (Rule.HOPPER, {"debris_l": 2001}, {"debris_l": 2000}),
    (Rule.WATER, {"water_l": 801}, {"water_l": 800}),
    (Rule.DAYS, {"earliest_on": TUESDAY}, {"earliest_on": MONDAY}),
    (
        Rule.DAYS,
        {"earliest_on": MONDAY - timedelta(days=9), "latest_on": MONDAY - timedelta(days=1)},
        {"earliest_on": MONDAY - timedelta(days=9), "latest_on": MONDAY},
    ),
    (
        Rule.SEASON,
        {"season": (DaySpan(date(2026, 3, 15), date(2026, 5, 31)),)},
        {"season": (DaySpan(date(2026, 9, 1), date(2026, 11, 30)),)},
    ),
    (Rule.DRY_SURFACE, {"needs": Needs(dry=True)}, {"needs": Needs(dry=False)}),
    (Rule.TEMPERATURE, {"needs": Needs(lowest_c=4.4)}, {"needs": Needs(lowest_c=3)}),
    (
        Rule.TEMPERATURE,
        {"needs": Needs(no_frost=True)},
        {"needs": Needs(no_frost=False)},
    ),
    (
        Rule.AFTER_TEST,
        {"needs": Needs(after_test_within_days=2)},
        {"needs": Needs(after_test_within_days=3)},
    ),
    (
        Rule.WINDOW,
        {"windows": (WeekSpan(0, ClockSpan(time(7, 10), time(8, 9))),)},
        {"windows": (WeekSpan(0, ClockSpan(time(7, 10), time(8, 10))),)},
    ),
    (Rule.WINDOW, {"closed_on": frozenset({MONDAY})}, {"closed_on": frozenset({TUESDAY})}),
    (
        Rule.NOISE,
        {"noise": ClockSpan(time(7, 11), time(22))},
        {"noise": ClockSpan(time(7), time(22))},
    ),
    (
        Rule.NOTICE,
        {"notice_hours": 72, "notice_at": AS_OF},
        {"notice_hours": 72, "notice_at": AS_OF - timedelta(days=3)},
    ),
    (Rule.SERVICE, {"service_minutes": 61}, {"service_minutes": 60}),
    (Rule.SERVICE, {"service_by_crew": {"north": 61}}, {"service_by_crew": {"south": 61}}),
    (Rule.PINNED, {"pinned_on": TUESDAY}, {"pinned_on": MONDAY}),
    (Rule.PINNED, {"pinned_to": "south"}, {"pinned_to": "north"}),
    (Rule.DUMP_HOURS, {"dump": "tip", "dump_minutes": 20}, {"dump": None}),
]
FULL_MACHINE = machine(
    hopper_l=2000, water_l=800, axle_kg=6000, height_m=3.2, width_m=2.5, turning_m=12, hose_m=30
)
WEATHER = {
    MONDAY: DayWeather(wet=True, lowest_c=4.3),
    TUESDAY: DayWeather(wet=True, lowest_c=0.0),
    TUESDAY + timedelta(days=1): WET,
    TUESDAY + timedelta(days=2): DRY,
}


@pytest.mark.parametrize(("rule", "bad", "mended"), BAD_ORDERS)
def test_an_order_that_breaks_a_rule_is_caught(rule, bad, mended):
    given = {
        "crews": (crew(machine=FULL_MACHINE, licences=frozenset({"light"})), crew("south")),
        "dumps": (TIP,),
        "weather": WEATHER,
        # One who is overdue on Monday is to be done on the first day, and is done on it; the
        # other way round it is the good plan that comes a day late.
        "overdue_days": 1,
    }
    if "latest_on" in bad and rule is Rule.DAYS:
        late = replace_days(GOOD, TUESDAY)
        assert rules(problem(order(**bad), **given), plan(late)) == [rule]
        assert rules(problem(order(**bad), **given | {"overdue_days": 2}), plan(late)) == []
        return
    assert rules(problem(order(**bad), **given), plan(GOOD)) == [rule]
    assert rules(problem(order(**mended), **given), plan(GOOD)) == []


@pytest.mark.parametrize("to", [TUESDAY, MONDAY - timedelta(days=3)])
def test_a_day_outside_of_the_round_is_caught(to):
    """The order may be done on it, and the crew works on it; the round alone does not reach it."""
    wide = order(earliest_on=MONDAY - timedelta(days=7))
    outside = plan(replace_days(GOOD, to))
    (found,) = [f for f in breaches_of(problem(wide, days=1), outside) if f.rule is Rule.DAYS]
    assert found.words == f"{to} is no day of this round."
    reached = problem(wide, first_on=to, days=1)
    assert Rule.DAYS not in rules(reached, outside)


def replace_days(day, on):
    """Return the same crew-day on another day."""
    later = on - day.on
    stops = tuple(
        replace(s, begins_at=s.begins_at + later, ends_at=s.ends_at + later) for s in day.stops
    )
    return replace(
        day, on=on, stops=stops, leaves_at=day.leaves_at + later, returns_at=day.returns_at + later
    )


BAD_CREWS = [
    (Rule.HOLIDAY, {"holidays": frozenset({MONDAY})}),
    (Rule.WORKING_DAY, {"shifts": week(range(1, 5), time(7), time(15))}),
    (Rule.SHIFT, {"shifts": week(range(5), time(7, 1), time(15))}),
    (Rule.SHIFT, {"shifts": week(range(5), time(6), time(8, 19))}),
    (Rule.SHIFT, {"special": {MONDAY: ClockSpan(time(8), time(16))}}),
    (Rule.WORK_HOURS, {"most_work_minutes": 79}),
    (Rule.BREAK, {"breaks": (ClockSpan(time(7, 30), time(7, 45)),)}),
    (Rule.BREAK, {"breaks": (ClockSpan(time(8, 15), time(8, 20)),)}),
]


@pytest.mark.parametrize(("rule", "changes"), BAD_CREWS)
def test_a_crew_that_cannot_is_caught(rule, changes):
    assert rules(problem(order(), crews=(crew(**changes),)), plan(GOOD)) == [rule]


def test_hours_of_work_that_just_suffice_are_let_be():
    just = crew(most_work_minutes=80, shifts=week([0], time(7), time(8, 20)))
    assert breaches_of(problem(order(), crews=(just,)), plan(GOOD)) == []


def test_a_stop_that_is_longer_by_its_break_is_let_be():
    rested = crew(breaks=(ClockSpan(time(7, 30), time(7, 45)),))
    longer = crew_day("07:00", stop("A", "07:10", "08:25"), returns="08:35")
    assert breaches_of(problem(order(), crews=(rested,)), plan(longer)) == []


@pytest.mark.parametrize("who", [None, "north"])
def test_work_on_a_day_called_off_is_caught(who):
    off = problem(order(), called_off=frozenset({(who, MONDAY)}))
    assert rules(off, plan(GOOD)) == [Rule.CALLED_OFF]
    other = problem(order(), called_off=frozenset({("south", MONDAY), (None, TUESDAY)}))
    assert rules(other, plan(GOOD)) == []


def test_a_drive_that_is_too_short_is_caught():
    late = crew_day("07:01", stop("A", "07:10", "08:10"), returns="08:20")
    soon = crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:19")
    assert rules(problem(order()), plan(late)) == [Rule.TRAVEL]
    assert rules(problem(order()), plan(soon)) == [Rule.TRAVEL]


def test_a_double_visit_is_caught():
    twice = plan(GOOD, replace_days(GOOD, TUESDAY))
    assert rules(problem(order()), twice) == [Rule.DOUBLE_VISIT]


def test_a_crew_in_two_places_is_caught():
    other = crew_day("07:00", stop("B", "07:20", "08:20"), returns="08:40")
    both = problem(order(), order("B", "b"))
    assert rules(both, plan(GOOD, other)) == [Rule.DOUBLE_VISIT]


def test_a_locked_day_that_was_changed_or_dropped_is_caught():
    locked = problem(order(), locked=(GOOD,))
    later = crew_day("07:05", stop("A", "07:15", "08:15"), returns="08:25")
    assert rules(locked, plan(GOOD)) == []
    assert rules(locked, plan(later)) == [Rule.LOCKED, Rule.LOCKED]
    left = LeftOut("A", Breach(Rule.NO_ROOM, "No room."), None, None)
    assert rules(locked, plan(left_out=[left])) == [Rule.LOCKED]


def test_what_is_locked_stands_whatever_the_rules_say():
    off = problem(order(), locked=(GOOD,), called_off=frozenset({(None, MONDAY)}))
    assert breaches_of(off, plan(GOOD)) == []


def test_strangers_are_caught():
    nobody = crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20", who="nobody")
    assert rules(problem(order()), plan(nobody)) == [Rule.UNKNOWN]
    nothing = crew_day("07:00", stop("Z", "07:10", "08:10"), returns="08:20")
    assert Rule.UNKNOWN in rules(problem(order()), plan(nothing))


def test_an_order_forgotten_is_caught():
    assert rules(problem(order(), order("B", "b")), plan(GOOD)) == [Rule.ACCOUNTED_FOR]
    left = LeftOut("A", Breach(Rule.NO_ROOM, "No room."), None, None)
    assert rules(problem(order()), plan(GOOD, left_out=[left])) == [Rule.ACCOUNTED_FOR]


# Two orders with a trip between them: a at 10, tip at 40, b at 20 minutes along the street.
LOADED = [
    stop("A", "07:10", "08:10"),
    stop("tip", "09:00", "09:20", StopKind.DUMP),
    stop("B", "09:40", "10:40"),
]
TWO = order(debris_l=1500), order("B", "b", debris_l=1500)


def hoppers(tip: DumpPlace, **changes):
    return problem(*TWO, crews=(crew(machine=machine(hopper_l=2000, **changes)),), dumps=(tip,))


def test_a_hopper_emptied_in_time_is_let_be():
    day = crew_day("07:00", *LOADED, returns="11:00")
    assert breaches_of(hoppers(TIP), plan(day)) == []


def test_a_hopper_that_runs_over_is_caught():
    day = crew_day("07:00", LOADED[0], LOADED[2], returns="11:00")
    (found,) = breaches_of(hoppers(TIP), plan(day))
    assert (found.rule, found.order, found.on) == (Rule.HOPPER, "B", MONDAY)
    assert "3000 L" in found.words


@pytest.mark.parametrize(
    ("hours", "closed_on"),
    [
        (week(range(5), time(9, 1), time(12)), frozenset()),
        (week(range(5), time(7), time(9, 19)), frozenset()),
        (week(range(1, 5), time(7), time(12)), frozenset()),
        (week(range(5), time(7), time(12)), frozenset({MONDAY})),
    ],
)
def test_a_dump_place_that_is_closed_is_caught(hours, closed_on):
    day = crew_day("07:00", *LOADED, returns="11:00")
    shut = DumpPlace(place="tip", minutes=20, hours=hours, closed_on=closed_on)
    assert rules(hoppers(shut), plan(day)) == [Rule.DUMP_HOURS]


def test_unloading_takes_its_time():
    day = crew_day("07:00", *LOADED, returns="11:00")
    assert rules(hoppers(replace(TIP, minutes=21)), plan(day)) == [Rule.SERVICE]


def test_wash_water_at_the_wrong_place_is_caught():
    day = crew_day("07:00", *LOADED, returns="11:00")
    assert rules(hoppers(TIP, keeps_wash_water=True), plan(day)) == [Rule.DECANT]
    fit = replace(TIP, takes_wash_water=True)
    assert rules(hoppers(fit, keeps_wash_water=True), plan(day)) == []


FILLED = [
    stop("A", "07:10", "08:10"),
    stop("tap", "08:15", "08:30", StopKind.WATER),
    stop("B", "08:45", "09:45"),
]


def tanks(tap: WaterPoint):
    washed = order(water_l=700), order("B", "b", water_l=700)
    return problem(*washed, crews=(crew(machine=machine(water_l=800)),), water_points=(tap,))


@pytest.mark.parametrize(
    ("tap", "caught"),
    [
        (TAP, []),
        (replace(TAP, hours=week(range(5), time(8, 16), time(12))), [Rule.WATER_HOURS]),
        (replace(TAP, closed_on=frozenset({MONDAY})), [Rule.WATER_HOURS]),
        (replace(TAP, permit=DaySpan(TUESDAY, TUESDAY)), [Rule.WATER_PERMIT]),
        (replace(TAP, permit=DaySpan(MONDAY, MONDAY)), []),
        (replace(TAP, minutes=16), [Rule.SERVICE]),
    ],
)
def test_water_is_taken_by_its_rules(tap, caught):
    day = crew_day("07:00", *FILLED, returns="10:05")
    assert rules(tanks(tap), plan(day)) == caught


def test_water_taken_within_the_time_on_site_keeps_its_permit():
    for permit, caught in ((TUESDAY, [Rule.WATER_PERMIT]), (MONDAY, [])):
        tap = replace(TAP, permit=DaySpan(permit, permit))
        assert rules(problem(order(water="tap"), water_points=(tap,)), plan(GOOD)) == caught


@pytest.mark.parametrize(
    ("hours", "closed_on", "caught"),
    [
        (week(range(5), time(7, 10), time(8, 10)), frozenset(), []),
        (week(range(5), time(7, 11), time(12)), frozenset(), [Rule.WATER_HOURS]),
        (week(range(5), time(7), time(8, 9)), frozenset(), [Rule.WATER_HOURS]),
        (week(range(5), time(7), time(12)), frozenset({MONDAY}), [Rule.WATER_HOURS]),
    ],
)
def test_water_point_used_on_site_is_open_all_the_while(hours, closed_on, caught):
    tap = replace(TAP, hours=hours, closed_on=closed_on)
    assert rules(problem(order(water="tap"), water_points=(tap,)), plan(GOOD)) == caught


def test_hours_that_hold_on_other_days_do_not_open_a_site():
    for day, caught in ((TUESDAY, [Rule.WINDOW]), (MONDAY, [])):
        opens = WeekSpan(0, ClockSpan(time(7), time(9)), DaySpan(day, day))
        assert rules(problem(order(windows=(opens,))), plan(GOOD)) == caught


def test_a_tank_that_runs_dry_is_caught():
    day = crew_day("07:00", FILLED[0], FILLED[2], returns="10:05")
    assert rules(tanks(TAP), plan(day)) == [Rule.WATER]


def test_a_dump_run_on_site_has_to_find_the_place_open():
    run = order(dump="tip", dump_minutes=20, service_minutes=60)
    ends_at_open = crew_day("08:10", stop("A", "08:20", "09:20"), returns="09:30")
    too_soon = crew_day("08:09", stop("A", "08:19", "09:19"), returns="09:29")
    too_late = crew_day("10:51", stop("A", "11:01", "12:01"), returns="12:11")
    given = problem(run, dumps=(TIP,))
    assert rules(given, plan(ends_at_open)) == []
    assert rules(given, plan(too_soon)) == [Rule.DUMP_HOURS]
    assert rules(given, plan(too_late)) == [Rule.DUMP_HOURS]


def test_a_dump_run_with_wash_water_needs_a_place_that_takes_it():
    run = order(dump="tip", dump_minutes=20, needs=Needs(wash_water=True))
    day = crew_day("08:10", stop("A", "08:20", "09:20"), returns="09:30")
    assert rules(problem(run, dumps=(TIP,)), plan(day)) == [Rule.DECANT]
    assert rules(problem(run, dumps=(replace(TIP, takes_wash_water=True),)), plan(day)) == []


def test_a_size_that_nobody_knows_does_not_pass_a_limit():
    limited = order(limits=Limits(axle_kg=6000))
    assert rules(problem(limited), plan(GOOD)) == [Rule.AXLE]


@pytest.mark.parametrize(
    ("day", "ends", "caught"),
    [
        (MONDAY, None, [Rule.DRY_SURFACE]),
        (MONDAY, time(2), [Rule.DRY_SURFACE]),
        (MONDAY - timedelta(days=1), None, []),
        (MONDAY - timedelta(days=1), time(7, 10), []),
        (MONDAY - timedelta(days=1), time(7, 11), [Rule.DRY_SURFACE]),
        (MONDAY - timedelta(days=2), time(23), []),
    ],
)
def test_dry_work_within_24_h_of_rain_is_caught(day, ends, caught):
    """Work on Monday begins at 07:10."""
    weather = {day: DayWeather(wet=True, rain_ends=ends)}
    assert rules(problem(order(needs=Needs(dry=True)), weather=weather), plan(GOOD)) == caught
    assert rules(problem(order(), weather=weather), plan(GOOD)) == []


def test_leaving_before_the_present_hour_is_caught_unless_locked():
    late = problem(order(), not_before=at("07:01"))
    assert rules(late, plan(GOOD)) == [Rule.PAST]
    assert rules(problem(order(), not_before=at("07:00")), plan(GOOD)) == []
    assert rules(problem(order(), not_before=at("09:00"), locked=(GOOD,)), plan(GOOD)) == []


def test_every_rule_of_a_plan_has_its_bad_plan():
    """NO_ROOM says why an order waits; it is no fault of a plan. The rest stand in this file."""
    here = Path(__file__).read_text(encoding="utf-8")
    missing = [rule for rule in Rule if f"Rule.{rule.name}" not in here]
    assert missing == []


def test_a_breach_says_where():
    (found,) = breaches_of(problem(order(service_minutes=61)), plan(GOOD))
    assert (found.crew, found.on, found.order) == ("north", MONDAY, "A")
    assert str(found) == "61 minutes of work; 60 are planned."
    assert found.rule.value == "the whole time on site is kept"
    assert at("07:10") == GOOD.stops[0].begins_at
