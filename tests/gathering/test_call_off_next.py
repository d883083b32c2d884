"""What follows from an order called off: the next day of its window, and tests gone stale."""

from datetime import date, timedelta

import pytest

from registry.gathering.call_off_next import next_after_call_off
from registry.models import InfiltrationTest
from registry.planning.called_off import CalledOff
from registry.planning.words import NotDecided
from tests.factories import InfiltrationTestFactory, SiteWindowFactory, SpotFactory
from tests.gathering.rounds import keeper, order

pytestmark = pytest.mark.django_db
FRIDAY = date(2026, 9, 18)
DAY = timedelta(days=1)


def called_off(**fields):
    return order(
        keeper(fields.pop("of", "Keepers")), state="called_off", dated_for=FRIDAY, **fields
    )


def after(row, today=FRIDAY) -> CalledOff | NotDecided | None:
    return next_after_call_off(row, today=today, tests=InfiltrationTest.objects.standing())


def test_next_day_is_one_on_which_the_site_has_hours():
    row = called_off()
    SiteWindowFactory(site=row.pavement.site, hours=[[1, "07:00", "15:00"]])
    assert after(row).next_on == date(2026, 9, 22)
    # Looked at later, a day that is past is not named.
    assert after(row, today=date(2026, 9, 23)).next_on == date(2026, 9, 29)


def test_season_is_that_of_the_keeper_or_the_house():
    """Washes are ruled out by the house's frost from December to February."""
    row = called_off(method="wash_and_vacuum")
    assert after(row, today=date(2026, 12, 2)).next_on == date(2027, 3, 1)
    strange = called_off(n=1, of="Others", site={"climate": "desert"})
    assert isinstance(after(strange), NotDecided)


def test_tests_before_that_go_stale_are_named():
    row = called_off()
    SiteWindowFactory(site=row.pavement.site, hours=[[1, "07:00", "15:00"]])
    old, new = (SpotFactory(pavement=row.pavement, name=name) for name in "UW")
    for spot, days in ((old, 11), (new, 10)):
        test = {"pavement": row.pavement, "spot": spot}
        InfiltrationTestFactory(started_on=FRIDAY - days * DAY, **test)
    row.before_spots.add(old, new)
    assert after(row).stale_tests == ("U",)  # 15 days on the Tuesday; the other 14


@pytest.mark.parametrize("state", ["dated", "done", "dropped"])
def test_other_orders_have_no_such_line(state):
    assert after(order(keeper(), state=state, dated_for=FRIDAY)) is None
