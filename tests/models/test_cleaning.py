"""A cleaning keeps no amount below nothing, and says why it was not done."""

import pytest

from registry.models import CleanedPanel, Cleaning
from tests.factories import CleaningFactory, PanelFactory
from tests.models.refusals import VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("cleaning_void_has_reason", VOID),
        ("cleaning_amounts_are_not_negative", {"area_m2": 0}),
        ("cleaning_amounts_are_not_negative", {"debris_m3": -0.1}),
        ("cleaning_amounts_are_not_negative", {"water_used_l": -1}),
        ("cleaning_not_done_says_why", {"state": "turned_away"}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, CleaningFactory, **fields)


def test_no_debris_and_no_water_are_amounts():
    row = CleaningFactory(debris_m3=0, water_used_l=0)
    assert Cleaning.objects.get() == row


def test_panel_is_covered_or_missed_once_by_one_cleaning():
    panel, cleaning = PanelFactory(), CleaningFactory()
    CleanedPanel.objects.create(cleaning=cleaning, panel=panel)
    again = {"cleaning": cleaning, "panel": panel, "is_missed": True}
    refused("cleaned_panel_once", CleanedPanel.objects.create, **again)
    CleanedPanel.objects.create(cleaning=CleaningFactory(), panel=panel)
