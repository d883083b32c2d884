"""A placing day ends after it begins, and its limits are above 0."""

import pytest

from tests.models.refusals import AT, VOID, refused
from tests.placing_factories import PlacingDayFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("placing_day_void_has_reason", PlacingDayFactory, VOID),
        ("placing_day_ends_after_it_begins", PlacingDayFactory, {"starts_at": AT, "ends_at": AT}),
        ("placing_day_limits_are_above_0", PlacingDayFactory, {"thickness_mm": 0}),
        ("placing_day_limits_are_above_0", PlacingDayFactory, {"water_cement_limit": 0}),
        ("placing_day_limits_are_above_0", PlacingDayFactory, {"density_approved_kg_m3": -1}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)
