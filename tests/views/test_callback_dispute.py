"""A dispute ends by settlement; the way back is the side's that disputed, and frees nothing."""

from datetime import date

import pytest
from django.urls import reverse

from registry.actions.move_signed import NeedsSignature, move_signed
from registry.gathering.frozen import frozen_under, why_frozen
from registry.models import Callback
from registry.models.choices import Role
from registry.placing.claim_moves import CALLBACK, IN_DISPUTE
from tests.claim_rows import MOVES, NOBODY, lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import RaveledShareFactory

pytestmark = pytest.mark.django_db
STATES = ["disputed", "evaluator_named", "reported", "in_court"]
BEFORE = ["received", *(state for state, _ in MOVES[:5])]


@pytest.fixture
def row(db):
    return notice(terms())


@pytest.fixture
def owner(row):
    return MembershipFactory(organisation=SeatFactory(pavement=row.pavement).organisation)


@pytest.fixture
def placer(row):
    given = {"pavement": row.pavement, "role": Role.CONTRACTOR, "organisation": row.contractor}
    return MembershipFactory(organisation=SeatFactory(**given).organisation)


def dispute(row, state, by):
    """Lead a callback into a state of dispute; `by` disputes, or goes to court."""
    lived_through(row, "accepted_in_part")
    way = STATES[: STATES.index(state) + 1] if state != "in_court" else ["in_court"]
    for one in way:
        given = {"by": by.person, "organisation": by.organisation, "signed_by": "M."}
        move_signed(row, to_state=one, on=date(2024, 7, 9), **given)
    return row


def go(client, row, to, **more):
    given = {"to": to, "on": "2024-07-10", "signed_by": "M.", "why": "entered by mistake", **more}
    return client.post(reverse("callback_move", args=[row.pk]), given)


@pytest.mark.parametrize("state", STATES)
def test_every_way_back_out_of_a_dispute_leaves_frozen_what_was(row, owner, client, state):
    dispute(row, state, owner)
    share = RaveledShareFactory(pavement=row.pavement)
    client.force_login(owner.person)
    for goal in BEFORE:
        assert go(client, row, f"back-{goal}").status_code == 302
        row.refresh_from_db()
        assert row.state == goal and frozen_under(share) == row
        assert "moved back out of a dispute that nothing settled" in why_frozen(row)
        page = client.get(reverse("callback_page", args=[row.pk])).content.decode()
        assert "Moved back out of a dispute that nothing settled" in page
        given = {"is_back": True, "why": "again", "on": date(2024, 7, 10), **NOBODY}
        move_signed(row, to_state=state, **given)
    assert set(Callback.objects.in_dispute()) == {row}


@pytest.mark.parametrize("state", STATES)
def test_the_other_side_moves_nothing_back_out_of_a_dispute(row, owner, placer, client, state):
    dispute(row, state, owner)
    client.force_login(placer.person)
    for goal in BEFORE:
        answer = go(client, row, f"back-{goal}")
        assert answer.status_code == 200 and "to" in answer.context["form"].errors
    row.refresh_from_db()
    assert row.state == state


def test_the_side_that_went_to_court_takes_it_back_and_the_owner_does_not(
    row, owner, placer, client
):
    dispute(row, "in_court", placer)
    client.force_login(owner.person)
    assert go(client, row, "back-accepted_in_part").status_code == 200
    client.force_login(placer.person)
    assert go(client, row, "back-accepted_in_part").status_code == 302


@pytest.mark.parametrize("state", STATES[:3])
def test_a_settlement_frees_what_was_frozen_even_after_a_way_back(row, owner, client, state):
    dispute(row, state, owner)
    share = RaveledShareFactory(pavement=row.pavement)
    client.force_login(owner.person)
    for goal in ("back-accepted_in_part", "disputed"):
        assert go(client, row, goal).status_code == 302
    assert frozen_under(share) == row
    assert go(client, row, "settled").status_code == 302
    assert frozen_under(share) is None


@pytest.mark.parametrize("state", STATES)
def test_no_move_out_of_a_dispute_goes_unsigned(row, owner, client, state):
    dispute(row, state, owner)
    client.force_login(owner.person)
    ways = set(CALLBACK.next_states(state)) - IN_DISPUTE
    for goal in [*ways, "back-received"]:
        assert go(client, row, goal, signed_by=" ").status_code == 200
    with pytest.raises(NeedsSignature, match="write the name"):
        back = {"to_state": "received", "is_back": True, "why": "mistake", **NOBODY}
        move_signed(row, on=date(2024, 7, 10), **back)
    row.refresh_from_db()
    assert row.state == state
