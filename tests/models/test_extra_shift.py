"""A crew has one shift at most on a day out of the week's."""

import pytest
from django.core.exceptions import ValidationError

from tests.factories import ExtraShiftFactory, OrganisationFactory
from tests.models.refusals import VOID, refused

pytestmark = pytest.mark.django_db


def test_void_shift_says_why():
    refused("extra_shift_void_has_reason", ExtraShiftFactory, **VOID)


def test_second_shift_on_a_day_is_refused():
    there = ExtraShiftFactory()
    refused("extra_shift_once_a_day", ExtraShiftFactory, crew=there.crew)
    assert str(there) == "2026-09-19 07:00-11:00"


def test_crew_of_another_organisation_is_refused():
    with pytest.raises(ValidationError, match="another organisation"):
        ExtraShiftFactory(organisation=OrganisationFactory()).clean()
