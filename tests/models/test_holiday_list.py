"""A holiday list has a name of its own in an organisation."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import HolidayListFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("holiday_list_void_has_reason", HolidayListFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_name_is_used_once_in_an_organisation():
    old = HolidayListFactory()
    again = {"name": old.name, "organisation": old.organisation}
    refused("holiday_list_name_once", HolidayListFactory, **again)
