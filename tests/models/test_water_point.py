"""A water point gives water within its permit, and has a name of its own."""

import pytest

from tests.factories import WaterPointFactory
from tests.models.refusals import DAY, DAY_BEFORE, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("water_point_void_has_reason", VOID),
        ("water_point_position_is_whole_and_on_earth", {"lon": 181.0, "lat": 1.0}),
        ("water_point_gives_water", {"flow_l_min": 0}),
        ("water_point_gives_water", {"filling_min": -1}),
        (
            "water_point_permit_ends_after_it_begins",
            {"permit_from_on": DAY, "permit_last_on": DAY_BEFORE},
        ),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, WaterPointFactory, **fields)


def test_name_is_used_once_and_a_permit_may_be_of_one_day():
    old = WaterPointFactory(permit_from_on=DAY, permit_last_on=DAY)
    again = {"name": old.name, "organisation": old.organisation}
    refused("water_point_name_once_in_an_organisation", WaterPointFactory, **again)
