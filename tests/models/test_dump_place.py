"""A dump place takes time, has a whole position or none, and a name of its own."""

import pytest

from tests.factories import DumpPlaceFactory
from tests.models.refusals import VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("dump_place_void_has_reason", VOID),
        ("dump_place_position_is_whole_and_on_earth", {"lat": 1.0}),
        ("dump_place_takes_time", {"unloading_min": 0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, DumpPlaceFactory, **fields)


def test_name_is_used_once():
    old = DumpPlaceFactory()
    again = {"name": old.name, "organisation": old.organisation}
    refused("dump_place_name_once_in_an_organisation", DumpPlaceFactory, **again)


def test_hours_are_said_as_on_a_board():
    row = DumpPlaceFactory(
        hours=[[0, "07:00", "15:00"], [1, "07:00", "15:00"], [6, "00:00", "00:00"]]
    )
    assert row.hours_in_words == "Mon-Tue 07:00-15:00; Sun"
