"""A site is taken out of use with a reason and stands at a whole position on earth."""

import pytest

from tests.factories import SiteFactory
from tests.models.refusals import VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("site_void_has_reason", VOID),
        ("site_position_is_whole_and_on_earth", {"lat": 42.0}),
        ("site_position_is_whole_and_on_earth", {"lon": 181.0, "lat": 42.0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, SiteFactory, **fields)
