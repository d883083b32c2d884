"""The town's own week of September 2026, as it was run, held against the rules.

Times on site, hours and limits are those of `fixtures/demo/3G_crew_round.csv`, results those of
`3H_week.csv`. Driving is set to ten minutes between all places: the tables give none.
"""

import csv
from dataclasses import replace
from datetime import date, time, timedelta
from math import ceil
from pathlib import Path

import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.crew import Crew, DumpPlace
from registry.planning.rounds.hours import ClockSpan, WeekSpan, week
from registry.planning.rounds.order import Limits, Needs
from registry.planning.rounds.plan import Plan
from registry.planning.rounds.problem import DayWeather, Problem
from registry.planning.rounds.replan import call_off
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rounds.travel import travel_from_table
from registry.planning.rules import Rule
from tests.planning.rounds.small import MONDAY, crew, crew_day, machine, order, problem, stop
from tests.planning.rounds.test_site_time import rows

ALLEY, LIBRARY, WALK, PARK, SCHOOL = "PP-18-02", "PP-19-01", "PP-21-05", "PP-22-05", "PP-24-04"
VACUUM, ON_FOOT, WASH = "full vacuum", "walk-behind vacuum", "pressure wash and vacuum"
TUE, WED, THU, FRI, SAT, SUN = (MONDAY + timedelta(days=n) for n in range(1, 7))
LB_KG = 0.45359237
OPTIONS = SolveOptions(seed=1, most_iterations=200)
HOURS = {
    ALLEY: week(range(6), time(5), time(9)),
    LIBRARY: (*week(range(6), time(0), time(8)), *week([6], time(0), time(9))),
    WALK: (),
    PARK: week(range(4), time(0), time(0)),
    SCHOOL: (*week(range(5), time(9, 30), time(14)), *week([5], time(0), time(0))),
}


def on_site_minutes() -> dict[str, int]:
    """Minutes of the table's total hours, rounded up."""
    return {
        row["town no."]: ceil(round(60 * float(row["total h (no travel)"]), 6)) for row in rows()
    }


def the_orders():
    minutes = on_site_minutes()
    methods = {row["town no."]: row["method"] for row in rows()}
    more = {
        ALLEY: {},
        LIBRARY: {},
        WALK: {"limits": Limits(axle_kg=3000 * LB_KG), "needs": Needs(dry=True)},
        PARK: {
            "needs": Needs(lowest_c=(35 - 32) / 1.8, wash_water=True),
            "dump": "decant yard",
            "dump_minutes": 30,
        },
        SCHOOL: {"needs": Needs(dry=True)},
    }
    return [
        order(
            ref,
            ref,
            method=methods[ref],
            service_minutes=minutes[ref],
            latest_on=SUN,
            windows=HOURS[ref],
            **more[ref],
        )
        for ref in HOURS
    ]


def the_crews() -> tuple[Crew, ...]:
    """The truck with its hours of each day, the trailer with the walk-behind on any of them."""
    shifts = {
        MONDAY: ClockSpan(time(5), time(13, 30)),
        TUE: ClockSpan(time(7), time(15, 30)),
        FRI: ClockSpan(time(9), time(14, 30)),
        SAT: ClockSpan(time(7), time(11)),
        SUN: ClockSpan(time(6), time(9, 30)),
    }
    truck = crew(
        "truck",
        machine=machine(methods=frozenset({VACUUM, WASH}), axle_kg=8000, keeps_wash_water=True),
        shifts=(),
        special=shifts,
    )
    trailer = crew(
        "trailer",
        machine=machine(methods=frozenset({ON_FOOT}), axle_kg=900),
        shifts=(),
        special={WED: ClockSpan(time(7), time(15, 30)), THU: ClockSpan(time(7), time(15, 30))},
    )
    return truck, trailer


def the_week(**changes) -> Problem:
    places = ["yard", "decant yard", *HOURS]
    return problem(
        *the_orders(),
        days=7,
        crews=the_crews(),
        travel=travel_from_table((a, b, 10 * (a != b)) for a in places for b in places),
        dumps=(
            DumpPlace(
                place="decant yard",
                minutes=30,
                hours=week(range(5), time(7), time(15)),
                takes_wash_water=True,
            ),
        ),
        weather={
            THU: DayWeather(wet=True),  # rain from 02:00
            FRI: DayWeather(wet=True),  # surface damp at 09:00
            TUE: DayWeather(wet=False, lowest_c=12),
        },
        **changes,
    )


AS_RUN = {
    ALLEY: crew_day(
        "05:10", stop(ALLEY, "05:20", "07:10"), returns="07:20", who="truck"
    ),
    PARK: crew_day(
        "08:46", stop(PARK, "08:56", "14:50", on=TUE), returns="15:00", on=TUE, who="truck"
    ),
    WALK: crew_day(
        "07:00", stop(WALK, "07:10", "09:35", on=WED), returns="09:45", on=WED, who="trailer"
    ),
    SCHOOL: crew_day(
        "07:00", stop(SCHOOL, "07:10", "08:50", on=SAT), returns="09:00", on=SAT, who="truck"
    ),
    LIBRARY: crew_day(
        "06:30", stop(LIBRARY, "06:40", "08:10", on=SUN), returns="08:20", on=SUN, who="truck"
    ),
}  # fmt: skip


def with_day(ref: str, day) -> Plan:
    return Plan(tuple((AS_RUN | {ref: day}).values()))


def test_the_week_as_it_was_run_keeps_the_rules():
    assert breaches_of(the_week(), Plan(tuple(AS_RUN.values()))) == []


@pytest.mark.parametrize(
    ("ref", "rule", "day"),
    [
        # Called off on Friday: the surface was damp.
        (SCHOOL, Rule.DRY_SURFACE, crew_day(
            "09:20", stop(SCHOOL, "09:30", "11:10", on=FRI), returns="11:20", on=FRI, who="truck")),
        # Deliveries after nine.
        (ALLEY, Rule.WINDOW, crew_day(
            "07:10", stop(ALLEY, "07:20", "09:10"), returns="09:20", who="truck")),
        # Before children are in: on a school day from half past nine.
        (SCHOOL, Rule.WINDOW, crew_day(
            "09:00", stop(SCHOOL, "09:10", "10:50", on=FRI), returns="11:00", on=FRI, who="truck")),
        # The library opens at nine on a Sunday.
        (LIBRARY, Rule.WINDOW, crew_day(
            "07:30", stop(LIBRARY, "07:40", "09:10", on=SUN), returns="09:20", on=SUN,
            who="truck")),
        # The last load ten minutes after the yard has closed.
        (PARK, Rule.DUMP_HOURS, crew_day(
            "09:16", stop(PARK, "09:26", "15:10", on=TUE), returns="15:20", on=TUE, who="truck")),
        # Fridays are not among the park's days, nor does anybody wash in the shift of that day.
        (PARK, Rule.WINDOW, crew_day(
            "09:00", stop(PARK, "09:10", "14:20", on=FRI), returns="14:30", on=FRI, who="truck")),
    ],
)  # fmt: skip
def test_what_went_wrong_in_that_week_is_named(ref, rule, day):
    assert rule in {found.rule for found in breaches_of(the_week(), with_day(ref, day))}


def test_the_truck_may_not_go_onto_the_path():
    """5 in slab: 3 000 lb at most, so the trailer goes."""
    both = replace(the_crews()[0], machine=machine(methods=frozenset({ON_FOOT}), axle_kg=8000))
    given = replace(the_week(), crews=(both, the_crews()[1]))
    by_truck = crew_day("05:10", stop(WALK, "05:20", "07:45"), returns="07:55", who="truck")
    found = breaches_of(given, Plan((by_truck,)))
    assert Rule.AXLE in {f.rule for f in found}


def test_the_solver_places_all_five():
    given = the_week()
    plan = solve_round(given, OPTIONS).plan
    assert breaches_of(given, plan) == []
    assert set(plan.day_of_order) == set(HOURS)
    assert plan.day_of_order[WALK].crew == "trailer"
    assert plan.day_of_order[PARK].on in (MONDAY, TUE)  # the days on which the truck washes


def test_the_rain_of_thursday_is_planned_around():
    """Half of the path was left on Wednesday; Thursday is called off, and nothing else is free."""
    first = Plan(tuple(AS_RUN.values()))
    rest = call_off(the_week(), first, WED, crew="trailer")
    rest = replace(rest, called_off=rest.called_off | {("trailer", THU)})
    plan = solve_round(rest, OPTIONS).plan
    assert [left.order for left in plan.left_out] == [WALK]
    assert plan.left_out[0].breach.rule in (Rule.CALLED_OFF, Rule.DRY_SURFACE)
    assert plan.day_of_order[PARK] == AS_RUN[PARK]


def test_the_days_are_those_of_the_table():
    path = Path(__file__).parents[3] / "fixtures" / "demo" / "3H_week.csv"
    with path.open(encoding="utf-8", newline="") as file:
        done = {
            row["pavement"]: date.fromisoformat(row["day"].split()[1])
            for row in csv.DictReader(file)
            if row["result"].startswith("done")
        }
    assert done == {ref: day.on for ref, day in AS_RUN.items()}
    assert WeekSpan(0, ClockSpan(time(5), time(9))) in HOURS[ALLEY]
