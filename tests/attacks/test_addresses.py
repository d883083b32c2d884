"""Addresses typed by hand: ids beyond any row, signs that are no text, figures of other scripts."""

from urllib.parse import quote

import pytest
from django.urls import reverse

from registry.models.choices import Role
from tests import factories

pytestmark = pytest.mark.django_db
HUGE = "9" * 30


@pytest.fixture
def seat(client):
    seat = factories.SeatFactory(role=Role.OWNER)
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    return seat


@pytest.mark.parametrize("number", ["²", "\0", "-1", "1e3", HUGE, "\u0663"])
def test_a_plan_of_a_number_that_is_none_is_not_found(client, seat, number):
    factories.PlanFactory(pavement=seat.pavement, number=3)
    address = reverse("plan_page", args=[seat.pavement_id])
    assert client.get(address, {"number": number}).status_code == 404


@pytest.mark.parametrize("number", ["\0", "I-\0", "²", "x" * 500])
def test_a_sheet_of_a_number_that_is_none_is_not_found(client, seat, number):
    assert client.get(f"/sheets/{quote(number)}/").status_code == 404


@pytest.mark.parametrize(
    "address",
    [
        f"/pavements/{HUGE}/",
        f"/infiltration-tests/{HUGE}/",
        f"/cleanings/{HUGE}/",
        f"/fits/{HUGE}/",
        f"/spreadsheets/{HUGE}/",
        f"/organisations/{HUGE}/",
        f"/seats/{HUGE}/end/",
        f"/record/ring/1/{HUGE}/correct/",
        f"/sheets/I-0001/double/{HUGE}/",
        "/invitation/%00/",
        "/invitation/%ED%A0%80/",
        "/static/..%2fregistry%2fsettings.py",
        "/static/%2e%2e/%2e%2e/registry/settings.py",
        "/originals-are-served-through-access-only/spreadsheets/",
    ],
)
def test_what_is_not_there_is_not_found(client, seat, address):
    answer = client.post(address) if "/double/" in address else client.get(address)
    assert answer.status_code == 404


@pytest.mark.parametrize(
    "asked",
    [
        {"page": "\0"},
        {"page": HUGE},
        {"sort": "\0"},
        {"sort": "word", "page": "²"},
        {"text": "\0"},
        {"text": "x" * 3000},
        {"owner": "%_\\"},
        {"area_from": "9" * 39},
        {"area_from": "9" * 36 + "/1"},
        {"area_from": "nan"},
        {"action_to": "1e400"},
        {"tested_to": "9999-12-31"},
        {"placed_from": "0001-01-01"},
        {"word": ["clean", "\0"]},
        {"surface": [HUGE]},
    ],
)
@pytest.mark.parametrize("page", ["pavement_list", "pavement_map", "pavement_points"])
def test_a_list_narrowed_by_nonsense_is_still_a_list(client, seat, asked, page):
    assert client.get(reverse(page), asked).status_code == 200
