"""A ring has a diameter that a ring can have, and a name of its own in its organisation."""

import pytest

from registry.models import Ring
from tests.factories import OrganisationFactory
from tests.models.refusals import AT, VOID, refused


def make(**fields):
    given = {"organisation": OrganisationFactory(), "name": "R1", "system": "inch_pound"}
    return Ring.objects.create(**given | {"inside_diameter": 12.0} | fields)


pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("ring_void_has_reason", VOID),
        ("ring_has_a_diameter", {"inside_diameter": 0, "void_at": AT, "void_why": "lost"}),
        ("ring_is_of_a_possible_size", {"inside_diameter": 300.0}),
        ("ring_is_of_a_possible_size", {"inside_diameter": 12.0, "system": "si"}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_name_is_used_again_only_after_its_ring_is_void():
    old = make()
    refused("ring_name_once_in_an_organisation", make, organisation=old.organisation)
    Ring.objects.update(void_at=AT, void_why="bent")
    make(organisation=old.organisation)
