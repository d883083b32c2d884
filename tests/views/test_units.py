"""The switch between the two systems of units."""

import pytest
from django.urls import reverse

from registry.models import JournalLine
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def person(client):
    person = PersonFactory()
    client.force_login(person)
    return person


def test_switch_shows_the_other_system_and_goes_back(client, person):
    answer = client.post(reverse("units_choose"), {"system": "si", "next": "/pavements/?page=2"})
    person.refresh_from_db()
    assert person.shown_system == "si"
    assert answer.url == "/pavements/?page=2"
    assert JournalLine.objects.about(person).get().changes == {"shown_system": ["inch_pound", "si"]}


def test_switch_leads_to_no_other_host(client, person):
    answer = client.post(reverse("units_choose"), {"system": "si", "next": "https://example.org/"})
    assert answer.url == reverse("home")


def test_unknown_system_is_refused(client, person):
    assert client.post(reverse("units_choose"), {"system": "cubits"}).status_code == 400
    person.refresh_from_db()
    assert person.shown_system == "inch_pound"


def test_nothing_is_switched_by_looking(client, person):
    assert client.get(reverse("units_choose")).status_code == 405
