"""Names of organisations are their own, and a person works for one once at a time."""

import pytest
from django.db import IntegrityError, transaction

from registry.models import Membership
from tests.factories import LONG_AGO, MembershipFactory, OrganisationFactory
from tests.models.refusals import AT, refused

pytestmark = pytest.mark.django_db


def test_two_organisations_have_two_names():
    OrganisationFactory(name="Mill Lane Pavers")
    with pytest.raises(IntegrityError, match="name"), transaction.atomic():
        OrganisationFactory(name="Mill Lane Pavers")


def test_person_works_for_an_organisation_once_at_a_time():
    row = MembershipFactory()
    both = {"person": row.person, "organisation": row.organisation}
    refused("membership_open_once", MembershipFactory, **both)
    MembershipFactory(**both, to_at=AT)


def test_membership_does_not_end_before_it_begins():
    refused("membership_ends_after_it_begins", MembershipFactory, from_at=AT, to_at=LONG_AGO)


def test_membership_holds_from_its_first_instant_up_to_its_end():
    row = MembershipFactory(from_at=LONG_AGO, to_at=AT)
    assert Membership.objects.current(at=LONG_AGO).get() == row
    assert not Membership.objects.current(at=AT).exists()
