"""Amounts of a winter are not below 0."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import WinterEntryFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("winter_entry_void_has_reason", WinterEntryFactory, VOID),
        ("winter_entry_amounts_are_not_below_0", WinterEntryFactory, {"bags": -1}),
        ("winter_entry_amounts_are_not_below_0", WinterEntryFactory, {"bag_kg": -1}),
        ("winter_entry_amounts_are_not_below_0", WinterEntryFactory, {"deicer_kg": -1}),
        ("winter_entry_amounts_are_not_below_0", WinterEntryFactory, {"sand_kg": -1}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)
