"""A parcel lies under a site from and to a day."""

import pytest

from registry.models import Parcel
from tests.factories import SiteFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    return Parcel.objects.create(site=SiteFactory(), number="12-7", **fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("parcel_void_has_reason", VOID),
        ("parcel_from_before_to", BACKWARD),
        ("parcel_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_parcel_holds_from_its_first_day_up_to_its_end():
    row = make(from_on=DAY_BEFORE, to_on=DAY)
    assert Parcel.objects.on(DAY_BEFORE).get() == row
    assert not Parcel.objects.on(DAY).exists()
