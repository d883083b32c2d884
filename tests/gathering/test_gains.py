"""What a cleaning regained is told by the tests around it alone, and by none beyond another."""

from datetime import UTC, date, datetime

import pytest

from registry.gathering.gains import gains_of
from registry.measuring.cleaning_gain import NoGain
from registry.models import CleanedPanel
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    PanelFactory,
    PavementFactory,
    SpotFactory,
)

pytestmark = pytest.mark.django_db


class Lot:
    def __init__(self):
        self.pavement = PavementFactory()
        self.panel = PanelFactory(pavement=self.pavement)
        self.spot = SpotFactory(pavement=self.pavement, panel=self.panel)

    def test(self, on, in_h, **fields):
        return InfiltrationTestFactory(
            pavement=self.pavement,
            spot=self.spot,
            started_on=on,
            result_value=in_h,
            result_constant=126_870,
            result_rate_mm_h=in_h * 25.4,
            **fields,
        )

    def wash(self, on, **fields):
        return CleaningFactory(
            pavement=self.pavement,
            done_on=on,
            method="wash_and_vacuum",
            is_restorative=True,
            **fields,
        )

    def gain(self, cleaning):
        tests = self.pavement.infiltration_tests.all()
        restorative = self.pavement.cleanings.restorative()
        found = gains_of(cleaning, tests, restorative)
        return found[0].result if found else None


@pytest.fixture
def lot():
    return Lot()


def day(month, number=1):
    return date(2024, month, number)


def test_gain_is_after_over_before(lot):
    lot.test(day(4), 100)
    wash = lot.wash(day(5))
    lot.test(day(6), 250)
    assert lot.gain(wash).factor == pytest.approx(2.5)


def test_test_before_an_earlier_restorative_cleaning_is_no_before(lot):
    lot.test(day(3), 100)
    lot.wash(day(4))
    wash = lot.wash(day(6))
    lot.test(day(7), 250)
    assert lot.gain(wash).code == "beyond_another"


def test_test_after_a_later_restorative_cleaning_is_no_after(lot):
    lot.test(day(3), 100)
    wash = lot.wash(day(4))
    lot.wash(day(6))
    lot.test(day(7), 250)
    assert lot.gain(wash).code == "beyond_another"


def test_tests_named_with_the_cleaning_are_bounded_too(lot):
    before = lot.test(day(3), 100)
    wash = lot.wash(day(4))
    later = lot.wash(day(6))
    after = lot.test(day(7), 250)
    wash.before_tests.add(before)
    wash.after_tests.add(after)
    later.after_tests.add(after)
    assert lot.gain(wash).code == "beyond_another"


def test_other_cleaning_that_missed_the_spot_bounds_nothing(lot):
    lot.test(day(3), 100)
    missed = lot.wash(day(4), covers_all=False)
    CleanedPanel.objects.create(cleaning=missed, panel=lot.panel, is_missed=True, why="car")
    wash = lot.wash(day(6))
    lot.test(day(7), 250)
    assert lot.gain(wash).factor == pytest.approx(2.5)


def test_plain_sweep_between_bounds_nothing(lot):
    lot.test(day(3), 100)
    CleaningFactory(pavement=lot.pavement, done_on=day(4), method="vacuum")
    wash = lot.wash(day(6))
    lot.test(day(7), 250)
    assert lot.gain(wash).factor == pytest.approx(2.5)


def clock(hour):
    return datetime(2024, 5, 1, hour, tzinfo=UTC)


def test_clocks_order_a_test_and_a_cleaning_of_one_day(lot):
    lot.test(day(5), 100, started_at=clock(12))
    wash = lot.wash(day(5), started_at=clock(14))
    lot.test(day(6), 250)
    assert lot.gain(wash).factor == pytest.approx(2.5)


def test_case_19_without_clocks_a_test_of_the_cleanings_day_gives_no_gain(lot):
    lot.test(day(4), 100)
    wash = lot.wash(day(5))
    lot.test(day(5), 250)
    result = lot.gain(wash)
    assert isinstance(result, NoGain)
    assert result.code == "order_unknown"


def test_link_to_the_cleaning_says_which_side_a_test_of_its_day_lies_on(lot):
    before = lot.test(day(5), 100)
    wash = lot.wash(day(5))
    wash.before_tests.add(before)
    lot.test(day(6), 250)
    assert lot.gain(wash).factor == pytest.approx(2.5)


def test_tests_before_and_after_on_the_cleanings_own_day_stay_two(lot):
    lot.test(day(5), 100, reason="before_cleaning")
    wash = lot.wash(day(5))
    lot.test(day(5), 250, reason="after_cleaning")
    assert lot.gain(wash).factor == pytest.approx(2.5)


@pytest.mark.parametrize("clocks", [(None, None), (9, None), (None, 9)])
def test_two_cleanings_of_one_day_without_both_clocks_claim_no_gain(lot, clocks):
    lot.test(day(4), 100)
    washes = [lot.wash(day(5), started_at=h and clock(h)) for h in clocks]
    lot.test(day(6), 200)
    assert [lot.gain(wash).code for wash in washes] == ["beyond_another"] * 2


def test_missing_test_is_called_missing(lot):
    wash = lot.wash(day(5))
    lot.test(day(6), 200)
    assert lot.gain(wash).code == "before_missing"
