"""Lists of one pavement's placing, warranty and winters come a page at a time."""

import pytest
from django.urls import reverse

from registry.models.choices import Role
from tests.factories import MembershipFactory, PavementFactory, SeatFactory, WorkOrderFactory
from tests.placing_factories import (
    CallbackFactory,
    CoreFactory,
    LotFactory,
    RepairFactory,
    WinterEntryFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def lot(client):
    member = MembershipFactory()
    seat = SeatFactory(organisation=member.organisation, role=Role.EVALUATOR)
    client.force_login(member.person)
    return seat.pavement


@pytest.mark.parametrize(
    ("page", "factory"),
    [
        ("winter_log", WinterEntryFactory),
        ("repair_list", RepairFactory),
        ("lot_list", CoreFactory),
    ],
)
def test_the_fifty_first_row_stands_on_the_second_page(client, lot, page, factory):
    factory.create_batch(51, pavement=lot)
    address = reverse(page, args=[lot.pk])
    first, second = client.get(address), client.get(address, {"page": 2})
    assert [len(one.context["page"].object_list) for one in (first, second)] == [50, 1]
    assert 'page=2"' in first.content.decode()


def test_lots_come_a_page_at_a_time_and_keep_the_page_of_the_cores(client, lot):
    LotFactory.create_batch(21, pavement=lot)
    CoreFactory.create_batch(51, pavement=lot)
    address = reverse("lot_list", args=[lot.pk])
    first = client.get(address, {"page": 2})
    last = client.get(address, {"page": 2, "lots": 2})
    assert [len(one.context["lots"]) for one in (first, last)] == [20, 1]
    assert 'href="?page=2&amp;lots=2"' in first.content.decode()
    assert 'href="?lots=2&amp;page=1"' in last.content.decode()


def test_callbacks_of_a_pavement_lead_to_all_of_them(client, lot):
    CallbackFactory.create_batch(21, pavement=lot)
    told = client.get(reverse("warranty_list", args=[lot.pk])).content.decode()
    assert f"{reverse('callback_list')}?pavement={lot.pk}" in told


def test_open_callbacks_come_first_and_the_next_page_keeps_what_was_asked(client, lot):
    CallbackFactory.create_batch(51, pavement=lot, state="received", counted_on="2020-01-01")
    CallbackFactory(pavement=lot, state="closed", counted_on="2024-01-01")
    address = reverse("callback_list")
    last = client.get(address, {"page": 2}).context["page"].object_list
    assert [row.state for row in last] == ["received", "closed"]
    told = client.get(address, {"state": "open"}).content.decode()
    assert "?state=open&amp;page=2" in told


def test_of_very_many_pavements_only_the_chosen_is_offered(client):
    member = MembershipFactory()
    site = PavementFactory().site
    for n in range(201):
        lot = PavementFactory(site=site, name=f"Lot {n}")
        SeatFactory(pavement=lot, organisation=member.organisation, role=Role.MANAGER)
    WorkOrderFactory(pavement=lot)
    client.force_login(member.person)
    told = client.get(reverse("work_order_list"), {"pavement": lot.pk})
    assert len(told.context["page"].object_list) == 1
    assert "Lot 200</option>" in told.content.decode()
    assert "Lot 7</option>" not in told.content.decode()
