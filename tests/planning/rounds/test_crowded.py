"""Rounds in which every rule binds somewhere, over a change of clocks, and no plan breaks one."""

from dataclasses import replace
from datetime import date, time, timedelta

import numpy as np
import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.crew import Crew, DumpPlace, WaterPoint
from registry.planning.rounds.greedy import greedy_round
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan, week
from registry.planning.rounds.order import Limits, Needs, Order
from registry.planning.rounds.plan import StopKind
from registry.planning.rounds.problem import DayWeather, Problem
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rounds.travel import Travel
from registry.planning.rules import Rule
from tests.planning.rounds.instances import AS_OF, VACUUM, WASH, ZONE
from tests.planning.rounds.small import machine

FIRST = date(2026, 10, 26)  # clocks go back on 1 November
DAYS = 14


def crowded(seed: int) -> Problem:
    rng = np.random.default_rng(seed)
    places = {f"p{n}": rng.uniform((-71.6, 41.7), (-71.4, 41.9)) for n in range(44)}
    names = list(places)
    return Problem(
        first_on=FIRST,
        days=DAYS,
        zone=ZONE,
        as_of=AS_OF + timedelta(days=42),
        crews=crews_at(names[0]),
        orders=tuple(an_order(n, names[n + 4], names[2], rng) for n in range(40)),
        travel=table(places, rng),
        dumps=(
            DumpPlace(place=names[1], minutes=15, hours=week(range(6), time(9), time(14))),
            DumpPlace(place=names[2], minutes=25, takes_wash_water=True),
        ),
        water_points=(
            WaterPoint(place=names[3], minutes=12, hours=week(range(7), time(6), time(3))),
            WaterPoint(place=names[0], minutes=30, permit=DaySpan(FIRST, FIRST + timedelta(4))),
        ),
        weather={
            FIRST + timedelta(days=int(n)): DayWeather(wet=True, lowest_c=2.0)
            for n in rng.integers(0, DAYS, 3)
        },
        called_off=frozenset({("night", FIRST + timedelta(days=2))}),
    )


def table(places, rng):
    """Times that differ there and back, and now and then are shorter by way of a third place."""
    at = np.array(list(places.values()))
    km = np.hypot(*((at[:, None] - at[None]) * (83, 111)).transpose(2, 0, 1))
    minutes = np.ceil(km * rng.uniform(1.5, 3, km.shape)).astype(np.int64)
    np.fill_diagonal(minutes, 0)
    return Travel(tuple(places), minutes)


def crews_at(depot: str) -> tuple[Crew, ...]:
    day = Crew(
        ref="day",
        depot=depot,
        machine=machine(methods=frozenset({VACUUM}), hopper_l=2000, axle_kg=7000, height_m=3.1),
        shifts=week(range(5), time(7), time(15, 30)),
        breaks=(ClockSpan(time(9), time(9, 15)), ClockSpan(time(12), time(12, 30))),
        holidays=frozenset({FIRST + timedelta(days=3)}),
        most_work_minutes=430,
    )
    night = Crew(
        ref="night",
        depot=depot,
        machine=machine(
            methods=frozenset({WASH, VACUUM}),
            hopper_l=3000,
            water_l=1500,
            axle_kg=9000,
            height_m=3.4,
            keeps_wash_water=True,
        ),
        shifts=week(range(7), time(21), time(5)),
        breaks=(ClockSpan(time(0, 45), time(1, 15)),),
        licences=frozenset({"heavy"}),
        people=3,
    )
    return day, night


def an_order(n: int, place: str, dump: str, rng) -> Order:
    wash = rng.uniform() < 0.3
    first = int(rng.integers(0, 7))
    hours = [(), week(range(7), time(22), time(4)), week(range(5), time(8), time(13))]
    picked = hours[int(rng.integers(0, 3))]
    own_run = wash and rng.uniform() < 0.3
    return Order(
        ref=f"W{n}",
        place=place,
        method=WASH if wash else VACUUM,
        service_minutes=int(rng.integers(40, 150)),
        service_by_crew={"night": int(rng.integers(40, 150))},
        earliest_on=FIRST + timedelta(days=first),
        latest_on=FIRST + timedelta(days=first + int(rng.integers(2, 9))),
        prize=int(rng.integers(100, 2000)),
        windows=(*picked, WeekSpan(6, ClockSpan(time(0, 30), time(3)))) if picked else (),
        closed_on=frozenset({FIRST + timedelta(days=int(rng.integers(0, DAYS)))}),
        noise=ClockSpan(time(6), time(1)) if rng.uniform() < 0.2 else None,
        notice_hours=int(rng.choice([0, 24, 72])),
        limits=Limits(axle_kg=8000 if rng.uniform() < 0.2 else None, height_m=3.5),
        needs=Needs(
            people=3 if rng.uniform() < 0.1 else 1,
            licence="heavy" if rng.uniform() < 0.1 else None,
            dry=not wash,
            lowest_c=4.4 if wash else None,
            wash_water=own_run,
        ),
        debris_l=0 if own_run else int(rng.integers(200, 1500)),
        water_l=int(rng.integers(200, 900)) if wash else 0,
        dump=dump if own_run else None,
        dump_minutes=20 if own_run else 0,
    )


@pytest.mark.parametrize("seed", range(8))
def test_no_plan_breaks_a_rule(seed: int):
    given = crowded(seed)
    plan = solve_round(given, SolveOptions(seed=seed, most_iterations=150)).plan
    assert breaches_of(given, plan) == []
    greedy = greedy_round(given)
    assert {f.rule for f in breaches_of(given, greedy)} <= {Rule.ACCOUNTED_FOR}
    assert len(plan.day_of_order) >= len(greedy.day_of_order)
    assert len(plan.day_of_order) >= 20


def test_every_kind_of_stop_is_met_with():
    """Or the test above would hold less than it says."""
    met = set()
    for seed in range(3):
        given = crowded(seed)
        plan = solve_round(given, SolveOptions(seed=seed, most_iterations=100)).plan
        met |= {(day.crew, stop.kind) for day in plan.days for stop in day.stops}
        met |= {left.breach.rule for left in plan.left_out}
    assert {("day", StopKind.DUMP), ("night", StopKind.WATER), ("night", StopKind.DUMP)} <= met


def test_crews_that_are_said_to_be_back_an_hour_sooner_are_caught():
    given = crowded(1)
    plan = solve_round(given, SolveOptions(seed=1, most_iterations=100)).plan
    later = tuple(replace(d, returns_at=d.returns_at - timedelta(hours=1)) for d in plan.days)
    assert len(breaches_of(given, replace(plan, days=later))) >= len(plan.days)
