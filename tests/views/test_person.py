"""The page of the person who is signed in."""

import pytest
from django.urls import reverse

from tests.factories import MembershipFactory

pytestmark = pytest.mark.django_db


def test_page_shows_ones_own_organisations_and_nobody_elses(client):
    own, other = MembershipFactory(), MembershipFactory()
    client.force_login(own.person)
    page = client.get(reverse("person_page")).content.decode()
    assert own.organisation.name in page
    assert other.organisation.name not in page
