"""A holiday ends on the day it began or later."""

import pytest
from django.core.exceptions import ValidationError

from tests.factories import CrewFactory, CrewHolidayFactory
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


def test_holiday_is_of_all_crews_or_of_one_of_its_own_organisation():
    CrewHolidayFactory().clean()
    with pytest.raises(ValidationError, match="another organisation"):
        CrewHolidayFactory(crew=CrewFactory()).clean()
