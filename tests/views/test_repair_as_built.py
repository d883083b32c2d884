"""A repair is a placement: its page leads to its own as-built and to a cover of its own."""

from datetime import date

import pytest
from django.urls import reverse

from registry.models.choices import Role
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import (
    PlacingDayFactory,
    RepairFactory,
    ThirdPartyFactory,
    WarrantyPartFactory,
)

pytestmark = pytest.mark.django_db


def page_of(client, name, pavement, *args, role=Role.OWNER):
    seat = SeatFactory(pavement=pavement, role=role)
    client.force_login(MembershipFactory(organisation=seat.organisation).person)
    return client.get(reverse(name, args=args)).content.decode()


def test_cover_of_the_repaired_part_says_its_panels_and_its_own_last_day(client):
    part = WarrantyPartFactory(panels=["C8", "C9"], start_on=date(2025, 6, 6), years=1)
    lot = part.warranty.pavement
    row = RepairFactory(pavement=lot, warranty_part=part)
    page = page_of(client, "repair_page", lot, lot.pk, row.pk)
    assert "C8, C9; from 2025-06-06, last day 2026-06-05" in page
    assert reverse("warranty_page", args=[part.warranty_id]) in page


@pytest.mark.parametrize(("method", "asks"), [("panel", True), ("lip_ground", False)])
def test_new_concrete_without_a_placing_record_says_so(client, method, asks):
    row = RepairFactory(method=method)
    page = page_of(client, "repair_page", row.pavement, row.pavement_id, row.pk)
    assert ("No placing record of the new concrete" in page) is asks


@pytest.mark.parametrize(("state", "seen"), [("accepted", True), ("curing", False)])
def test_placing_record_of_the_new_concrete_is_linked_for_who_may_see_it(client, state, seen):
    row = RepairFactory(method="panel", state=state)
    day = PlacingDayFactory(pavement=row.pavement, repair=row)
    page = page_of(client, "repair_page", row.pavement, row.pavement_id, row.pk)
    assert (reverse("placing_day_page", args=[day.pk]) in page) is seen
    assert ("No placing record of the new concrete that you may see" in page) is not seen


def test_third_party_is_shown_with_its_question_samples_and_shares_and_void_as_void(client):
    told = {"question": "salt or late cover?", "samples": "6 cores", "named_by": "both sides"}
    row = ThirdPartyFactory(**told, cost_shares=[["owner", "50"], ["contractor", "50"]])
    gone = {"void_at": "2024-08-01T12:00Z", "void_why": "declined to act"}
    ThirdPartyFactory(callback=row.callback, name="J. Elsewhere", **gone)
    page = page_of(client, "callback_page", row.callback.pavement, row.callback_id)
    for words in ("salt or late cover?", "6 cores", "both sides", "owner 50 %, contractor 50 %"):
        assert words in page
    assert "Void since 2024-08-01: declined to act" in page
