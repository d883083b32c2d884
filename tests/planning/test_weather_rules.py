"""Dry, temperature, notice and after-test: the accidents of the town's week and each limit."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from registry.planning.faults import PlanningError
from registry.planning.methods import Method
from registry.planning.rules import Breach, Rule
from registry.planning.weather_rules import (
    LOWEST_WASH_C,
    Weather,
    after_test_breach,
    notice_breach,
    weather_breaches,
)
from registry.planning.words import NotDecided

WARM = Weather(temperature_c=10.0, rising=True, frost_within_24_h=False)


def test_friday_of_the_week_is_called_off_and_saturday_is_not():
    # Table 7.3-H: rain ended Thu 19:00; vacuum on Fri 09:30 was called off, on Sat 07:00 done.
    friday = Weather(surface_dry=False, dry_hours=14.5)
    assert [b.rule for b in weather_breaches(Method.VACUUM, friday)] == [Rule.DRY_SURFACE]
    assert weather_breaches(Method.VACUUM, Weather(surface_dry=True, dry_hours=36)) == ()


@pytest.mark.parametrize(("hours", "broken"), [(23.9, 1), (24.0, 0)])
def test_dry_for_24_hours(hours, broken):
    found = weather_breaches(Method.REGENERATIVE_AIR, Weather(surface_dry=True, dry_hours=hours))
    assert len(found) == broken


def test_dry_not_shown_is_not_decided():
    for weather in (Weather(), Weather(surface_dry=True), Weather(dry_hours=48)):
        (found,) = weather_breaches(Method.VACUUM, weather)
        assert isinstance(found, NotDecided)


def test_a_wash_may_be_on_a_wet_surface():
    wet = Weather(False, 1.0, 10.0, True, False)
    assert weather_breaches(Method.WASH_AND_VACUUM, wet) == ()


@pytest.mark.parametrize(
    "weather",
    [
        Weather(temperature_c=LOWEST_WASH_C - 0.1, rising=True, frost_within_24_h=False),
        Weather(temperature_c=10.0, rising=False, frost_within_24_h=False),
        Weather(temperature_c=10.0, rising=True, frost_within_24_h=True),
    ],
)
def test_each_limit_of_temperature(weather):
    (found,) = weather_breaches(Method.WASH_AND_VACUUM, weather)
    assert found.rule is Rule.TEMPERATURE


def test_40_f_is_warm_enough_and_a_wash_of_unknown_weather_is_not_decided():
    at_40_f = Weather(temperature_c=LOWEST_WASH_C, rising=True, frost_within_24_h=False)
    assert weather_breaches(Method.WASH_AND_VACUUM, at_40_f) == ()
    found = weather_breaches(Method.WASH_AND_VACUUM, Weather())
    assert [type(answer) for answer in found] == [NotDecided] * 3


def test_an_orders_own_limit_stands():
    # Table 7.3-G: PP-22-05 at 35 degF and rising.
    weather = Weather(temperature_c=2.0, rising=True, frost_within_24_h=False)
    assert weather_breaches(Method.WASH_AND_VACUUM, weather)
    assert weather_breaches(Method.WASH_AND_VACUUM, weather, lowest_c=(35 - 32) / 1.8) == ()


def test_notice_is_counted_in_elapsed_hours():
    begins = datetime(2026, 9, 18, 9, tzinfo=UTC)
    assert notice_breach(begins - timedelta(hours=72), begins) is None
    assert notice_breach(begins - timedelta(hours=71.5), begins).rule is Rule.NOTICE
    assert notice_breach(None, begins).rule is Rule.NOTICE


def test_notice_over_the_night_in_which_clocks_go_forward():
    # 2026-03-08 in New York: 72 h by the clocks are 71 h elapsed.
    zone = ZoneInfo("America/New_York")
    posted = datetime(2026, 3, 6, 9, tzinfo=zone)
    assert isinstance(notice_breach(posted, datetime(2026, 3, 9, 9, tzinfo=zone)), Breach)


def test_an_instant_without_a_zone_is_refused():
    with pytest.raises(PlanningError, match="time zone"):
        notice_breach(datetime(2026, 9, 1), datetime(2026, 9, 18, tzinfo=UTC))


def test_a_dry_day_for_the_after_test_within_14_days():
    done = date(2026, 9, 15)
    assert after_test_breach(done, frozenset({date(2026, 9, 29)})) is None
    for days in (frozenset(), frozenset({done}), frozenset({date(2026, 9, 30)})):
        assert after_test_breach(done, days).rule is Rule.AFTER_TEST
