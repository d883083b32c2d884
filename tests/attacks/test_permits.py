"""How often a permit asks for cleaning, written with what no permit says."""

import pytest
from django.urls import reverse

from registry.models import PermitMinimum
from tests.views.record import manager_of, wrongs

pytestmark = pytest.mark.django_db
GIVEN = {
    "system": "si", "set_by": "town", "source_document": "permit 7", "times": "2",
    "begins_written": "01-01",
    "days_between": "30", "from_on": "2024-01-01", "to_on": "", "note": "",
}  # fmt: skip


@pytest.fixture
def address(client):
    pavement, person = manager_of()
    client.force_login(person)
    return reverse("entry_add", args=["permit_minimum", pavement.pk])


def test_permit_as_it_is_written_is_stored(client, address):
    answer = client.post(address, GIVEN)
    assert answer.status_code == 302, wrongs(answer)
    assert PermitMinimum.objects.get().times == 2


@pytest.mark.parametrize(
    "given",
    [
        {"times": "0"}, {"times": "53"}, {"times": "-1"}, {"times": "9" * 30}, {"times": "nan"},
        {"times": "1.5"}, {"times": "²"}, {"times": "\0"}, {"times": "13", "days_between": "30"},
        {"days_between": "366"}, {"days_between": "-1"}, {"days_between": "inf"},
        {"begins_written": "02-30"}, {"begins_written": "13-01"}, {"begins_written": "\0"},
        {"begins_written": "00-00"}, {"begins_written": "9" * 30},
        {"methods": ["vacuum", "\0"]}, {"methods": ["none of these"]},
        {"set_by": "\0"}, {"set_by": ""}, {"set_by": "x" * 161}, {"source_document": "\0"},
        {"from_on": "0000-01-01"}, {"from_on": "9999-12-31"}, {"to_on": "2023-01-01"},
        {"note": "\0"},
    ],
)  # fmt: skip
def test_permit_that_cannot_be_is_told_beside_its_field(client, address, given):
    answer = client.post(address, GIVEN | given)
    assert answer.status_code == 200 and wrongs(answer), given
    assert not PermitMinimum.objects.exists()
