"""Limits that a permit or contract sets come in the place of those of the house."""

from datetime import date, time, timedelta

import pytest

from registry.planning.earliest_day import SeasonFacts, sweep_after_sand_by, why_ruled_out
from registry.planning.limits import (
    HOUSE_LIMITS,
    Limit,
    WorkLimits,
    by_whom,
    days_in_words,
)
from registry.planning.methods import Method
from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.order import Needs
from registry.planning.rounds.problem import DayWeather
from registry.planning.rounds.solve import solve_round
from registry.planning.rules import Rule
from registry.planning.seasons import DatedFact, Fact
from tests.planning.rounds.small import MONDAY, TUESDAY, at, crew_day, order, plan, problem, stop
from tests.planning.rounds.test_left_out import OPTIONS

PERMIT = "Permit 7"
RAIN = {MONDAY: DayWeather(wet=True, rain_ends=time(6))}
PLACED = date(2026, 6, 1)


def test_house_rule_sets_nothing_otherwise():
    assert HOUSE_LIMITS.set_otherwise == ()
    own = WorkLimits(dry_h=Limit(48, PERMIT))
    assert own.set_otherwise == (("dry_h", Limit(48, PERMIT)),)
    assert (by_whom(own.dry_h), by_whom(own.frost_c)) == (" by “Permit 7”", "")


@pytest.mark.parametrize(
    ("days", "words"), [(21, "3 weeks"), (7, "7 days"), (20, "20 days"), (1, "1 day")]
)
def test_days_as_they_are_said(days, words):
    assert days_in_words(days) == words


def test_wash_waits_from_placing_as_long_as_is_set_and_says_by_whom():
    limits = WorkLimits(wash_after_placing_days=Limit(60, PERMIT))
    house, own = (SeasonFacts(placed_on=PLACED, limits=held) for held in (HOUSE_LIMITS, limits))
    wash = Method.WASH_AND_VACUUM
    on_59, on_60 = (PLACED + timedelta(days=n) for n in (59, 60))
    assert why_ruled_out(wash, on_59, house) == ""
    assert why_ruled_out(wash, on_59, own) == (
        "no wash within 60 days of placing, 2026-06-01 by “Permit 7”"
    )
    assert why_ruled_out(wash, on_60, own) == ""


def test_sweep_after_sand_is_due_within_what_is_set():
    sand = [DatedFact(Fact.LAST_SAND, date(2026, 4, 1))]
    assert sweep_after_sand_by(sand, date(2026, 4, 2)) == date(2026, 4, 22)
    assert sweep_after_sand_by(sand, date(2026, 4, 2), Limit(10, PERMIT)) == date(2026, 4, 11)


def dry(hours):
    return order(latest_on=TUESDAY + timedelta(days=1), needs=Needs(dry=True, dry_h=hours))


@pytest.mark.parametrize(("hours", "on"), [(24.0, TUESDAY), (48.0, TUESDAY + timedelta(days=1))])
def test_dry_work_waits_as_long_as_is_set(hours, on):
    given = problem(dry(hours), weather=RAIN)
    found = solve_round(given, OPTIONS).plan
    assert [day.on for day in found.days] == [on]
    assert breaches_of(given, found) == []


def test_dry_work_too_soon_by_what_is_set_is_caught_by_the_check():
    too_soon = plan(
        crew_day("07:00", stop("A", "07:10", "08:10", on=TUESDAY), returns="08:20", on=TUESDAY)
    )
    assert breaches_of(problem(dry(24.0), weather=RAIN), too_soon) == []
    (found,) = breaches_of(problem(dry(48.0), weather=RAIN), too_soon)
    assert found.rule is Rule.DRY_SURFACE


def test_frost_is_what_is_set():
    cold = {MONDAY: DayWeather(lowest_c=1.0)}
    house, own = (
        problem(order(latest_on=MONDAY, needs=needs), weather=cold)
        for needs in (Needs(no_frost=True), Needs(no_frost=True, frost_c=2.0))
    )
    good = solve_round(house, OPTIONS).plan
    assert good.left_out == ()
    (left,) = solve_round(own, OPTIONS).plan.left_out
    assert left.breach.rule is Rule.TEMPERATURE
    assert [found.rule for found in breaches_of(own, good)] == [Rule.TEMPERATURE]
    assert good.days[0].stops[0].begins_at == at("07:10")
