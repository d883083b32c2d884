"""A lot passes by its contract's rule alone; no later test takes the place of one below."""

from datetime import date, timedelta

import pytest

from registry.gathering.lot_tests import lot_results
from registry.models import InfiltrationTest
from registry.units import Kind, System, to_si
from tests.factories import InfiltrationTestFactory, PanelFactory, PavementFactory, SpotFactory
from tests.placing_factories import LotFactory

pytestmark = pytest.mark.django_db
MADE_ON = date(2023, 8, 24)
LEAST = to_si(100, Kind.RATE, System.INCH_POUND)


@pytest.fixture
def lot(db):
    pavement = PavementFactory()
    return LotFactory(
        pavement=pavement,
        made_on=MADE_ON,
        panels=["B8", "B9", "D6"],
        tests_needed=2,
        least_rate_mm_h=LEAST,
        test_after_days=7,
    )


def measured(lot, panel, in_h, *, days=13, sign="", use="trend"):
    """Store a test whose result is as given: the lot reads results alone."""
    there = lot.pavement.panels.filter(name=panel).first()
    there = there or PanelFactory(pavement=lot.pavement, name=panel)
    name = f"{panel}-{lot.pavement.spots.count()}"
    row = InfiltrationTestFactory(
        pavement=lot.pavement,
        spot=SpotFactory(pavement=lot.pavement, panel=there, name=name),
        reason="acceptance",
        started_on=MADE_ON + timedelta(days=days),
    )
    rate = to_si(in_h, Kind.RATE, System.INCH_POUND)
    InfiltrationTest.objects.filter(pk=row.pk).update(
        result_rate_mm_h=rate, result_sign=sign, use=use
    )


def result(lot):
    rows = lot.pavement.infiltration_tests.select_related("spot__panel")
    (found,) = lot_results([lot], list(rows), System.INCH_POUND)
    return found


def test_lot_without_its_tests_is_not_decided(lot):
    measured(lot, "B8", 118)
    assert result(lot).passes is None
    assert result(lot).words == "Not decided: 1 of 2 tests are there."


def test_lot_with_its_tests_none_below_passes(lot):
    measured(lot, "B8", 118)
    measured(lot, "D6", 100)
    assert result(lot).passes is True


def test_tests_each_side_of_one_below_do_not_replace_it(lot):
    """Rates of the demonstration: 92 at B9, then 118 at B8 on the next day."""
    measured(lot, "D6", 520)
    measured(lot, "B9", 92)
    measured(lot, "B8", 118, days=14)
    found = result(lot)
    assert found.passes is False and "1 below the least rate" in found.words
    assert [one.is_after_below for one in found.tests] == [False, False, True]


def test_second_spot_in_the_panel_of_one_below_is_marked_and_another_panel_is_not(lot):
    measured(lot, "B9", 92)
    measured(lot, "D6", 520)
    measured(lot, "B9", 262)
    assert [one.is_after_below for one in result(lot).tests] == [False, False, True]


def test_test_before_its_day_is_shown_and_not_counted(lot):
    measured(lot, "B8", 118, days=6)
    measured(lot, "D6", 520, days=7)
    found = result(lot)
    assert [one.is_early for one in found.tests] == [True, False]
    assert found.passes is None


def test_run_that_was_only_looked_at_decides_nothing(lot):
    measured(lot, "B8", 50, use="looked_at")
    measured(lot, "D6", 520)
    found = result(lot)
    assert [one.is_looked_at for one in found.tests] == [True, False]
    assert found.words == "Not decided: 1 of 2 tests are there."


def test_bound_below_the_least_rate_is_below_and_one_above_it_decides_nothing(lot):
    measured(lot, "B8", 90, sign="<", use="bound")
    measured(lot, "D6", 196, sign="<", use="bound")
    assert [one.is_below for one in result(lot).tests] == [True, None]


def test_tests_before_the_lot_and_on_other_panels_are_not_its_own(lot):
    measured(lot, "B8", 118, days=-1)
    measured(lot, "A1", 118)
    assert result(lot).tests == ()


def test_spot_that_was_not_drawn_is_told(lot):
    measured(lot, "B8", 118)
    assert [one.is_drawn for one in result(lot).tests] == [False]
