"""A pavement is in one pool at a time, by a document; an organisation has one pool of its own."""

import pytest

from registry.models import Pool, PoolPlace
from tests.factories import OrganisationFactory, PavementFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, refused

pytestmark = pytest.mark.django_db


def pool_of(organisation=None, **fields):
    return Pool.objects.create(
        organisation=organisation or OrganisationFactory(), name="p", **fields
    )


def place(**fields):
    given = {"pavement": PavementFactory(), "by_document": "permit 7", "from_on": DAY_BEFORE}
    return PoolPlace.objects.create(pool=pool_of(is_own=False), **given | fields)


def test_organisation_has_one_pool_of_its_own_and_any_number_to_join():
    own = pool_of().organisation
    refused("pool_of_its_own_once", pool_of, organisation=own)
    pool_of(own, is_own=False)
    pool_of(own, is_own=False)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("pool_place_from_before_to", BACKWARD),
        ("pool_place_from_before_to", NO_SPAN),
        ("pool_place_has_a_document", {"by_document": ""}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, place, **fields)


def test_pavement_is_in_one_pool_at_a_time():
    joined = place()
    refused("pavement_in_one_pool_at_a_time", place, pavement=joined.pavement)
    PoolPlace.objects.update(to_on=DAY)
    place(pavement=joined.pavement, from_on=DAY)


def test_place_is_held_from_its_first_day_up_to_its_end():
    row = place(to_on=DAY)
    assert PoolPlace.objects.on(DAY_BEFORE).get() == row
    assert not PoolPlace.objects.on(DAY).exists()
