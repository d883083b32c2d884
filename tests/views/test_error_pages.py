"""What is shown where there is nothing, where a seat does not allow it, and where we went wrong."""

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.files.uploadedfile import SimpleUploadedFile
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from registry.models.choices import Role
from tests.factories import MembershipFactory, PersonFactory, SeatFactory

pytestmark = pytest.mark.django_db


def test_unknown_address_says_so_and_leads_home(client):
    client.force_login(PersonFactory())
    answer = client.get("/no/such/page/")
    assert answer.status_code == 404
    assert "There is nothing here" in answer.content.decode()
    assert f'href="{reverse("home")}"' in answer.content.decode()


def test_what_a_seat_does_not_allow_is_named_as_such(client):
    member = MembershipFactory()
    seat = SeatFactory(organisation=member.organisation, role=Role.CONTRACTOR)
    client.force_login(member.person)
    answer = client.get(reverse("cleaning_add", args=[seat.pavement_id]))
    assert answer.status_code == 403
    assert "Your seat does not allow this" in answer.content.decode()


def test_page_for_our_own_fault_needs_nothing_that_may_be_broken():
    text = render_to_string("500.html")
    assert "Something went wrong on our side" in text
    assert finders.find("css/sheet.css")
    assert '"/static/css/sheet.css"' in text


def test_more_files_than_are_taken_at_once_are_answered_in_words():
    client = Client(raise_request_exception=False)
    client.force_login(MembershipFactory().person)
    most = settings.DATA_UPLOAD_MAX_NUMBER_FILES
    chosen = [SimpleUploadedFile(f"{n}.csv", b"ref") for n in range(most + 1)]
    answer = client.post(reverse("import_page"), {"chosen": chosen})
    assert answer.status_code == 400
    assert f"More than {most} files at once" in answer.content.decode()


def test_form_of_an_earlier_sign_in_is_answered_in_words():
    client = Client(enforce_csrf_checks=True)
    client.force_login(MembershipFactory().person)
    answer = client.post(reverse("units_choose"), {"system": "si", "csrfmiddlewaretoken": "a" * 32})
    assert answer.status_code == 403
    assert "Open the page anew and send the form again" in answer.content.decode()
