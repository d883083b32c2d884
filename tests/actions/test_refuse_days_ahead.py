"""What was done lies behind: the day at the site decides, not the server's (case 39)."""

from datetime import UTC, date, datetime

import pytest
from django.utils import timezone

from registry.actions.correct_entry import correct_entry
from registry.actions.record_cleaning import record_cleaning
from registry.actions.record_defect import record_defect
from registry.actions.record_infiltration_test import record_infiltration_test
from registry.actions.record_observation import record_observation
from registry.actions.refuse_days_ahead import DONE_ON, DayAhead, refuse_days_ahead
from registry.models import Cleaning, Defect, InfiltrationTest, Observation, Ring
from registry.models.entry import Change
from tests import factories

pytestmark = pytest.mark.django_db

JUST_AFTER_MIDNIGHT_UTC = datetime(2026, 11, 26, 0, 7, tzinfo=UTC)
BY = {"by": None, "organisation": None}


@pytest.fixture
def morning_in_utc(monkeypatch):
    """07 past midnight in UTC, and still 2026-11-25 in the town, five hours west of it."""
    monkeypatch.setattr(timezone, "now", lambda: JUST_AFTER_MIDNIGHT_UTC)


def unsaved(factory, **values):
    """A row not yet stored, whose relations are."""
    row = factory(**values)
    row.delete()
    row.pk = None
    row._state.adding = True
    return row


CASES = {
    "a test": (factories.InfiltrationTestFactory, "started_on", record_infiltration_test),
    "a cleaning": (factories.CleaningFactory, "done_on", record_cleaning),
    "a defect": (factories.DefectFactory, "first_seen_on", record_defect),
    "a look": (factories.ObservationFactory, "seen_on", record_observation),
}


@pytest.mark.parametrize("case", CASES)
def test_tomorrow_at_the_site_is_refused_and_today_is_stored(case, morning_in_utc):
    factory, field, record = CASES[case]
    row = unsaved(factory, **{field: date(2026, 11, 26)})
    with pytest.raises(DayAhead, match="2026-11-26 lies ahead: today is 2026-11-25 at the site"):
        record(row, **BY)
    assert not type(row).objects.filter(**{field: date(2026, 11, 26)}).exists()
    setattr(row, field, date(2026, 11, 25))
    assert record(row, **BY).pk


def test_correction_to_tomorrow_is_refused_and_changes_nothing(morning_in_utc):
    row = factories.CleaningFactory(done_on=date(2026, 11, 20))
    ahead = {"done_on": Change(date(2026, 11, 26), "2026-11-26")}
    with pytest.raises(DayAhead):
        correct_entry(row, changes=ahead, why="slip", **BY)
    assert Cleaning.objects.get().done_on == date(2026, 11, 20)


def test_east_of_greenwich_a_new_day_has_begun():
    row = factories.InfiltrationTestFactory.build(
        pavement=factories.PavementFactory(site__time_zone="Pacific/Auckland"),
        started_on=date(2026, 11, 26),
    )
    refuse_days_ahead(row, now=datetime(2026, 11, 25, 12, 0, tzinfo=UTC))


def test_kind_without_a_day_passes_and_every_named_field_exists():
    refuse_days_ahead(Ring())
    for model in (InfiltrationTest, Cleaning, Defect, Observation):
        assert model._meta.get_field(DONE_ON[model._meta.model_name][0])
