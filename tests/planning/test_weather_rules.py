"""The notice for cars out, over a change of the clock and without an instant."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from registry.planning.faults import PlanningError
from registry.planning.rules import Breach, Rule
from registry.planning.weather_rules import notice_breach


def test_notice_is_counted_in_elapsed_hours():
    begins = datetime(2026, 9, 18, 9, tzinfo=UTC)
    assert notice_breach(begins - timedelta(hours=72), begins, 72) is None
    assert notice_breach(begins - timedelta(hours=71.5), begins, 72).rule is Rule.NOTICE
    assert "71.5 h before" in notice_breach(begins - timedelta(hours=71.5), begins, 72).words
    assert notice_breach(None, begins, 72).rule is Rule.NOTICE
    assert "after the begin" in notice_breach(begins + timedelta(hours=1), begins, 72).words


def test_notice_over_the_night_in_which_clocks_go_forward():
    # 2026-03-08 in New York: 72 h by the clocks are 71 h elapsed.
    zone = ZoneInfo("America/New_York")
    posted = datetime(2026, 3, 6, 9, tzinfo=zone)
    assert isinstance(notice_breach(posted, datetime(2026, 3, 9, 9, tzinfo=zone), 72), Breach)


def test_an_instant_without_a_zone_is_refused():
    with pytest.raises(PlanningError, match="time zone"):
        notice_breach(datetime(2026, 9, 1), datetime(2026, 9, 18, tzinfo=UTC), 72)
