"""A holiday ends on the day it began or later."""

import pytest

from tests.factories import CrewHolidayFactory
from tests.models.refusals import DAY, DAY_BEFORE, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("crew_holiday_void_has_reason", VOID),
        ("crew_holiday_ends_after_it_begins", {"first_on": DAY, "last_on": DAY_BEFORE}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, CrewHolidayFactory, **fields)
