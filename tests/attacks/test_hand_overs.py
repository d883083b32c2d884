"""Nobody but the contractor who placed it hands its placing record over."""

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.move_signed import move_signed
from registry.models import HandOver, PlacingDay
from registry.models.choices import Role
from registry.models.placing_day import handed_over_by
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import HandOverFactory, PlacingDayFactory, WarrantyFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def placed():
    """A day of a contractor that was not handed over."""
    seat = SeatFactory(role=Role.CONTRACTOR)
    return PlacingDayFactory(pavement=seat.pavement, entered_for=seat.organisation)


@pytest.fixture
def owner(client, placed):
    seat = SeatFactory(pavement=placed.pavement, role=Role.OWNER)
    member = MembershipFactory(organisation=seat.organisation)
    client.force_login(member.person)
    return member


def is_open() -> bool:
    return PlacingDay.objects.filter(handed_over_by(timezone.now())).exists()


def test_owner_signs_no_first_hand_over_with_itself(client, placed, owner):
    fields = {
        "system": "si", "number": "HO-9", "is_first": "on", "taker": owner.organisation_id,
        "effective_at": "2023-09-15 12:00", "open_things": "",
    }  # fmt: skip
    address = reverse("hand_over_add", args=[placed.pavement_id])
    answer = client.post(address, fields)
    assert "only the contractor draws" in str(answer.context["form"].errors)
    assert not HandOver.objects.exists()
    assert client.post(address, {**fields, "is_first": ""}).status_code == 302


@pytest.mark.parametrize("giver_placed_it", [True, False])
def test_a_hand_over_is_of_the_work_of_its_giver(placed, giver_placed_it):
    other = SeatFactory(pavement=placed.pavement, role=Role.CONTRACTOR).organisation
    giver = placed.entered_for if giver_placed_it else other
    HandOverFactory(pavement=placed.pavement, giver=giver, is_first=True, state="in_effect")
    assert is_open() is giver_placed_it


@pytest.mark.parametrize("starts", ["owner", "contractor"])
def test_a_warranty_that_its_contractor_did_not_start_opens_nothing(placed, owner, starts):
    sides = {"owner": owner.organisation, "contractor": placed.entered_for}
    terms = WarrantyFactory(
        pavement=placed.pavement, contractor=placed.entered_for, state="not_started"
    )
    on = timezone.localdate()
    move_signed(terms, to_state="running", on=on, by=None, organisation=sides[starts])
    assert is_open() is (starts == "contractor")
