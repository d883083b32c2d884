"""The next step of a callback stands on the first page of the side that has to act."""

from datetime import date

import pytest
from django.utils import timezone

from registry.actions.move_signed import move_signed
from registry.models import Callback
from registry.models.choices import Role
from tests.claim_rows import NOBODY, lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory

pytestmark = pytest.mark.django_db


def waiting(row):
    row.refresh_from_db()
    return row.next_step, row.next_side, row.next_due_on


def test_next_step_follows_each_move():
    row = notice(terms())
    assert waiting(row) == ("acknowledge", "contractor", date(2024, 5, 6))
    move_signed(row, to_state="acknowledged", on=date(2024, 5, 2), **NOBODY)
    assert waiting(row) == ("visit", "contractor", date(2024, 5, 20))


def test_owner_has_to_reply_once_the_finding_is_issued():
    row = lived_through(notice(terms()), until="accepted_in_part")
    assert waiting(row) == ("reply", "owner", date(2024, 7, 16))


def test_nothing_waits_when_it_is_closed():
    assert waiting(lived_through(notice(terms()))) == ("", "", None)


def test_first_page_tells_each_side_its_own_step(client):
    row = notice(terms())
    owner = SeatFactory(pavement=row.pavement, role=Role.OWNER).organisation
    placer = SeatFactory(
        pavement=row.pavement, role=Role.CONTRACTOR, organisation=row.contractor
    ).organisation
    Callback.objects.update(next_due_on=timezone.now().date())
    assert "Callback CB-5: acknowledge" in first_page(client, placer)
    assert "Callback CB-5" not in first_page(client, owner)
    Callback.objects.update(next_side="owner", next_step="reply")
    assert "Callback CB-5: owner’s reply" in first_page(client, owner)
    assert "Callback CB-5" not in first_page(client, placer)


def first_page(client, organisation):
    client.force_login(MembershipFactory(organisation=organisation).person)
    return client.get("/").content.decode()
