"""A permit's minimum fits into its year."""

import pytest

from tests.factories import PermitMinimumFactory
from tests.models.refusals import BACKWARD, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("permit_minimum_void_has_reason", VOID),
        ("permit_minimum_from_before_to", BACKWARD),
        ("permit_minimum_from_before_to", NO_SPAN),
        ("permit_minimum_fits_into_a_year", {"times": 0}),
        ("permit_minimum_fits_into_a_year", {"times": 53, "days_between": 0}),
        ("permit_minimum_fits_into_a_year", {"times": 13, "days_between": 30}),
        ("permit_minimum_year_begins_in_the_year", {"begins_month": 13}),
        ("permit_minimum_year_begins_in_the_year", {"begins_day": 0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, PermitMinimumFactory, **fields)


def test_twelve_a_year_thirty_days_apart_fit():
    assert str(PermitMinimumFactory(times=12)) == "12 a year by permit 7"
