"""A split pavement and its parts lead to each other; a missing action level leads to its form."""

from datetime import date

import pytest
from django.urls import reverse

from registry.actions.refresh_standing import refresh_standings
from registry.models.choices import Role
from tests.factories import CriteriaFactory, MembershipFactory, PavementFactory, SeatFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MembershipFactory()


def held(member, role=Role.MANAGER, **fields):
    row = PavementFactory(**fields)
    SeatFactory(pavement=row, organisation=member.organisation, role=role)
    return row


def read_page(client, member, name, *args):
    client.force_login(member.person)
    return client.get(reverse(name, args=args)).content.decode()


def test_parts_and_whole_lead_to_each_other_where_they_may_be_read(client, member):
    whole = held(member, name="Old court", state="split")
    north = held(member, name="North part", parent=whole)
    south = PavementFactory(name="South part", parent=whole)
    page = read_page(client, member, "pavement_page", whole.pk)
    assert f'href="{reverse("pavement_page", args=[north.pk])}">North part' in page
    assert "South part" not in page, "another's part is not named"
    page = read_page(client, member, "pavement_page", north.pk)
    assert f'Split from <a href="{reverse("pavement_page", args=[whole.pk])}">Old court' in page
    SeatFactory(pavement=south, organisation=member.organisation, role=Role.MANAGER)
    assert "South part" in read_page(client, member, "pavement_page", whole.pk)


def test_whole_that_may_not_be_read_is_not_named(client, member):
    part = held(member, name="Part", parent=PavementFactory(name="Old court"))
    page = read_page(client, member, "pavement_page", part.pk)
    assert "Split from a pavement that your seats do not read." in page
    assert "Old court" not in page


@pytest.mark.parametrize(
    ("role", "is_led"), [(Role.MANAGER, True), (Role.MUNICIPALITY, False)], ids=str
)
def test_missing_action_level_leads_who_may_to_its_form(client, member, role, is_led):
    lot = held(member, role)
    refresh_standings([lot.pk])
    link = f'not known: <a href="{reverse("entry_add", args=["criteria", lot.pk])}">add criteria'
    assert (link in read_page(client, member, "pavement_page", lot.pk)) is is_led
    assert (link in read_page(client, member, "pavement_list")) is is_led
    CriteriaFactory(pavement=lot, action_rate_mm_h=300, from_on=date(2020, 1, 1))
    refresh_standings([lot.pk])
    for page in ("pavement_page", "pavement_list"):
        args = [lot.pk] if page == "pavement_page" else []
        assert link not in read_page(client, member, page, *args)
