"""Each organisation has its own number for a pavement; it gives none to two pavements."""

import pytest
from django.core.exceptions import ValidationError

from registry.actions.give_number import give_number
from registry.models import JournalLine, PavementNumber
from tests.factories import OrganisationFactory, PavementFactory

pytestmark = pytest.mark.django_db


def give(number, organisation, pavement=None):
    return give_number(
        pavement=pavement or PavementFactory(), organisation=organisation, number=number, by=None
    )


def test_numbers_of_two_organisations_stand_side_by_side():
    lot = PavementFactory()
    own, towns = (give("7", OrganisationFactory(), lot) for _ in range(2))
    assert set(lot.numbers.all()) == {own, towns}
    assert JournalLine.objects.about(own).get().verb == "numbered"


def test_number_of_another_pavement_is_refused():
    own = give("7", OrganisationFactory()).organisation
    with pytest.raises(ValidationError):
        give("7", own)
    assert PavementNumber.objects.count() == JournalLine.objects.count() == 1
