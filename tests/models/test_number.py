"""One organisation gives a number to one pavement at a time."""

import pytest

from tests.factories import NumberFactory
from tests.models.refusals import DAY, refused

pytestmark = pytest.mark.django_db
RULE = "number_once_in_an_organisation"


def test_number_in_force_is_given_once_by_an_organisation():
    own = NumberFactory(number="7").organisation
    refused(RULE, NumberFactory, organisation=own, number="7")
    NumberFactory(number="7")
    NumberFactory(organisation=own, number="8")


@pytest.mark.parametrize("over", [{"to_on": DAY}, {"is_taken_back": True}])
def test_number_that_is_over_may_be_given_anew(over):
    own = NumberFactory(number="7", **over).organisation
    NumberFactory(organisation=own, number="7")
    refused(RULE, NumberFactory, organisation=own, number="7")
