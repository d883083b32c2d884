"""A spot ends once, with a reason, and not before the last test that was run there."""

from datetime import date

import pytest

from registry.actions.end_spot import LONGEST, SpotIsOver, end_spot
from registry.models import JournalLine, Spot
from tests.factories import InfiltrationTestFactory, SpotFactory

pytestmark = pytest.mark.django_db
LAST = date(2024, 5, 1)


def end(spot: Spot, why: str = "paved over", on: date = LAST) -> Spot:
    return end_spot(spot, on=on, why=why, by=None, organisation=None)


def test_ended_spot_keeps_its_day_its_reason_and_its_line():
    spot = end(SpotFactory())
    assert (spot.ended_on, spot.ended_why) == (LAST, "paved over")
    assert JournalLine.objects.about(spot).get().changes == {"ended_on": ["", "2024-05-01"]}


def test_spot_ends_once_and_keeps_its_first_day():
    spot = end(SpotFactory())
    with pytest.raises(SpotIsOver, match="has ended already"):
        end(spot, on=date(2025, 1, 1))
    assert Spot.objects.get().ended_on == LAST


@pytest.mark.parametrize(("why", "words"), [("  ", "Say why"), ("x" * (LONGEST + 1), "fewer")])
def test_reason_is_asked_and_has_to_fit(why: str, words: str):
    with pytest.raises(SpotIsOver, match=words):
        end(SpotFactory(), why=why)
    assert Spot.objects.get().ended_on is None


def test_spot_does_not_end_before_its_last_test():
    test = InfiltrationTestFactory(started_on=date(2024, 5, 2))
    with pytest.raises(SpotIsOver, match="2024-05-02, after that"):
        end(test.spot)
    assert end(test.spot, on=date(2024, 5, 2)).ended_on == date(2024, 5, 2)
