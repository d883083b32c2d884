"""A depot has a whole position or none, and a name of its own in its organisation."""

import pytest

from tests.factories import DepotFactory
from tests.models.refusals import VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("depot_void_has_reason", VOID),
        ("depot_position_is_whole_and_on_earth", {"lon": 1.0}),
        ("depot_position_is_whole_and_on_earth", {"lon": 1.0, "lat": 91.0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, DepotFactory, **fields)


def test_name_is_used_once():
    old = DepotFactory()
    again = {"name": old.name, "organisation": old.organisation}
    refused("depot_name_once_in_an_organisation", DepotFactory, **again)
