"""A site is taken out of use with a reason and stands at a whole position on earth."""

import pytest

from registry.models import Site
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


@pytest.mark.parametrize(
    ("slab_kg", "way_in_kg", "limit_kg"),
    [(None, None, None), (4000.0, None, 4000.0), (None, 3000.0, 3000.0), (4000.0, 3000.0, 3000.0)],
)
def test_an_axle_keeps_to_the_lower_of_slab_and_way_in(slab_kg, way_in_kg, limit_kg):
    site = Site(name="Mill Lane", heaviest_axle_kg=slab_kg, way_in_axle_kg=way_in_kg)
    assert site.axle_limit_kg == limit_kg
