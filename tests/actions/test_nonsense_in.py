"""Nonsense in the record, through the database: a stated result or a stated refusal, no warning."""

from datetime import date, timedelta

import pytest

from registry.actions.correct_entry import correct_entry
from registry.actions.record_infiltration_test import record_infiltration_test
from registry.actions.work_out_outlooks import work_out_outlooks
from registry.models import Fit, InfiltrationTest, Outlook
from registry.models.entry import Change
from tests import factories

pytestmark = pytest.mark.django_db
DAY = date(2024, 6, 3)


@pytest.fixture
def owner():
    return factories.OrganisationFactory()


def lot_of(owner, placed_on=date(2020, 1, 1)):
    row = factories.PavementFactory(placed_on=placed_on)
    factories.SeatFactory(pavement=row, organisation=owner)
    factories.CriteriaFactory(pavement=row)
    return factories.SpotFactory(pavement=row, name="U", stratum="field")


def run_at(spot, day=DAY, rate_in_h=200.0, **fields):
    given = {
        "pavement": spot.pavement,
        "spot": spot,
        "method": "c1701",
        "started_on": day,
        "system": "inch_pound",
        "ring": 12.0,
        "water": 40.0,
        "prewet_seconds": 10,
        "prewet_water": 8.0,
        "seconds": 126870 * 40 / (144 * rate_in_h),
        "ended": "drained",
        "rain_within_24_h": "no",
    }
    row = InfiltrationTest(**(given | fields))
    return record_infiltration_test(row, by=None, organisation=None)


def foretold():
    """(fit, outlook) of the only pool and pavement, every number finite or None."""
    work_out_outlooks()
    outlook = Outlook.objects.get()
    if not outlook.why_not:
        assert 0 <= outlook.p_below <= 1
        assert 0 < outlook.low_mm_h <= outlook.rate_mm_h <= outlook.high_mm_h
    return Fit.objects.get(), outlook


def test_one_pavement_and_one_test_are_carried_by_what_was_thought_before(owner):
    run_at(lot_of(owner))
    fit, outlook = foretold()
    assert (fit.converged, fit.infiltration_tests, outlook.why_not) == (True, 1, "")
    assert fit.back_test["numbers"] + fit.back_test["bounds"] in (0, 1)


def test_only_stopped_tests_give_bounds_and_no_number(owner):
    spot = lot_of(owner)
    for n in range(4):
        run_at(spot, DAY + timedelta(days=200 * n), ended="stopped", seconds=1800.0)
    fit, outlook = foretold()
    assert (fit.bounds, fit.infiltration_tests) == (4, 4)
    assert fit.converged or fit.message
    assert outlook.why_not or outlook.p_below > 0.5


def test_all_tests_on_one_day(owner):
    spot = lot_of(owner)
    for name in ("A", "B", "C"):
        place = factories.SpotFactory(pavement=spot.pavement, name=name, stratum="field")
        run_at(place)
    fit, outlook = foretold()
    assert (fit.converged, fit.infiltration_tests, outlook.why_not) == (True, 3, "")


def test_rate_of_a_million_is_kept_or_left_out_with_a_reason(owner):
    spot = lot_of(owner)
    run_at(spot, DAY - timedelta(days=300))
    run_at(spot, rate_in_h=1e6 / 25.4)
    fit, outlook = foretold()
    assert fit.converged
    assert fit.infiltration_tests == 2 or sum(fit.left_out.values()) == 1
    assert outlook.why_not == ""


def test_forty_cleanings_in_a_year(owner):
    spot = lot_of(owner)
    for n in range(40):
        factories.CleaningFactory(pavement=spot.pavement, done_on=DAY - timedelta(days=9 * n))
    run_at(spot, DAY + timedelta(days=30))
    fit, outlook = foretold()
    assert (fit.converged, fit.cleanings) == (True, 40)
    assert outlook.effective_age_yr >= 0


def test_placing_date_after_the_test_leaves_the_test_out_and_says_so(owner):
    run_at(lot_of(owner, placed_on=date(2025, 1, 1)))
    fit, outlook = foretold()
    assert not fit.converged
    assert fit.left_out == {"Before the placing date of the surface.": 1}
    assert "no fit" in outlook.why_not.lower()


def test_surface_not_placed_yet_is_not_decided(owner):
    run_at(lot_of(owner))
    later = lot_of(owner, placed_on=date(2999, 1, 1))
    work_out_outlooks()
    outlook = Outlook.objects.get(pavement=later.pavement)
    assert "not placed yet" in outlook.why_not
    assert outlook.p_below is None


def test_criteria_that_change_change_the_outlook_at_once(owner):
    spot = lot_of(owner)
    run_at(spot)
    _, before = foretold()
    criteria = spot.pavement.criteria.get()
    correct_entry(
        criteria,
        changes={"action_rate_mm_h": Change(5000.0, "5000")},
        why="typing",
        by=None,
        organisation=owner,
    )
    after = Outlook.objects.get()
    assert after.action_rate_mm_h == pytest.approx(5000)
    assert after.p_below > before.p_below
    assert Fit.objects.count() == 1
