"""A price is paid from and to a day, and nobody is paid for being cleaned."""

import pytest

from registry.models import Price
from tests.factories import OrganisationFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    given = {
        "organisation": OrganisationFactory(),
        "method_class": "vacuum",
        "per_m2": 1,
        "currency": "$",
    }
    return Price.objects.create(**given | fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("price_void_has_reason", VOID),
        ("price_is_not_negative", {"per_m2": -1}),
        ("price_is_not_negative", {"at_least": -1}),
        ("price_says_its_currency", {"currency": ""}),
        ("price_from_before_to", BACKWARD),
        ("price_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_price_holds_from_its_first_day_up_to_its_end():
    row = make(from_on=DAY_BEFORE, to_on=DAY)
    assert Price.objects.on(DAY_BEFORE).get() == row
    assert not Price.objects.on(DAY).exists()


def test_price_from_the_beginning_is_the_oldest_on_every_database():
    dated = make(from_on=DAY)
    first = make(organisation=dated.organisation)
    assert list(Price.objects.in_order()) == [first, dated]
    assert "NULLS FIRST" in str(Price.objects.in_order().query)
