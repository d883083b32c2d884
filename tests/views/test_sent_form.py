"""A form that comes in twice makes one record; one that stored nothing may come again."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.models import Cleaning, SentForm
from registry.models.sent_form import KEPT_FOR
from tests.factories import MembershipFactory, SeatFactory, SentFormFactory

pytestmark = pytest.mark.django_db
GIVEN = {
    "system": "inch_pound",
    "state": "done",
    "done_on": "2023-06-20",
    "method": "broom",
    "covers_all": "on",
}


@pytest.fixture
def seat():
    return SeatFactory(role="manager", organisation=MembershipFactory().organisation)


@pytest.fixture
def sent(client, seat):
    address = reverse("cleaning_add", args=[seat.pavement_id])
    client.force_login(seat.organisation.people.get())
    page = client.get(address).content.decode()
    key = re.search(r'name="form_key" value="(\w{32})"', page).group(1)

    def send(**changed):
        given = {**GIVEN, "form_key": key, **changed}
        return client.post(address, {k: v for k, v in given.items() if v is not None})

    send.key = key
    return send


def test_same_form_sent_again_leads_to_what_it_made_and_says_so(client, sent):
    first, second = sent(), sent()
    assert Cleaning.objects.count() == 1
    assert second["Location"] == first["Location"]
    assert "was not stored a second time" in client.get(second["Location"]).content.decode()


def test_form_sent_again_with_another_value_or_from_another_page_is_another_record(client, sent):
    sent()
    sent(operator="the second crew")
    sent(form_key="0" * 32)
    sent(form_key=None)
    sent(form_key=None)
    assert Cleaning.objects.count() == 5


def test_form_with_a_fault_keeps_its_key_and_may_come_again(sent):
    answer = sent(method="")
    assert f'name="form_key" value="{sent.key}"' in answer.content.decode()
    assert not SentForm.objects.exists()
    assert sent(method="").status_code == 200
    assert sent().status_code == 302
    assert Cleaning.objects.count() == 1


def test_form_of_another_person_is_not_answered_from_memory(client, seat, sent):
    sent()
    client.force_login(MembershipFactory(organisation=seat.organisation).person)
    sent()
    assert Cleaning.objects.count() == 2


def test_fault_in_the_middle_leaves_neither_record_nor_memory(client, sent, monkeypatch):
    def fail(*_args, **_kwargs):
        raise OSError("the disk is full")

    monkeypatch.setattr("registry.views.cleaning.messages.success", fail)
    client.raise_request_exception = False
    assert sent().status_code == 500
    monkeypatch.undo()
    assert not Cleaning.objects.exists()
    assert sent().status_code == 302
    assert Cleaning.objects.count() == 1


def test_what_is_older_than_a_late_sheet_is_forgotten(seat, sent):
    person = seat.organisation.people.get()
    old, young = (
        SentFormFactory(person=person, sent_at=timezone.now() - KEPT_FOR + timedelta(hours=h))
        for h in (-1, 1)
    )
    sent()
    assert not SentForm.objects.filter(pk=old.pk).exists()
    assert SentForm.objects.filter(pk=young.pk).exists()
