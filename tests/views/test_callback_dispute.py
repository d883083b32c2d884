"""A dispute ends by settlement; the way back is the side's that disputed, and frees nothing."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.move_signed import NeedsSignature, move_signed
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.gathering.frozen import frozen_under, why_frozen
from registry.models import Callback
from registry.models.choices import Role
from registry.models.entry import Change
from registry.placing.claim_moves import CALLBACK, IN_DISPUTE
from tests.claim_rows import MOVES, NOBODY, lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import RaveledShareFactory, SettlementLineFactory

pytestmark = pytest.mark.django_db
STATES = ["disputed", "evaluator_named", "reported", "in_court"]
PAPER = {"why": "paper of 2024-10-02"}
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


@pytest.mark.parametrize("state", STATES)
def test_a_settlement_frees_what_was_frozen_even_after_a_way_back(
    row, owner, placer, client, state
):
    dispute(row, state, owner)
    share = RaveledShareFactory(pavement=row.pavement)
    client.force_login(owner.person)
    for goal in ("back-accepted_in_part", "disputed"):
        assert go(client, row, goal).status_code == 302
    assert frozen_under(share) == row
    assert go(client, row, "settlement_offered").status_code == 302
    assert frozen_under(share) == row
    client.force_login(placer.person)
    assert go(client, row, "settled").status_code == 302
    assert frozen_under(share) is None


@pytest.mark.parametrize("first", ["owner", "placer"])
def test_one_side_alone_never_settles(row, owner, placer, client, first):
    dispute(row, "reported", owner)
    manager = SeatFactory(pavement=row.pavement, role=Role.MANAGER).organisation
    sides = {"owner": owner, "placer": placer}
    one, other = sides.pop(first), *sides.values()
    client.force_login(one.person)
    assert go(client, row, "settled").status_code == 200
    assert go(client, row, "settlement_offered").status_code == 302
    again = {"to_state": "settled", "on": date(2024, 10, 2), "signed_by": "M.", "by": None}
    alone = [one.organisation, None] + [manager] * (first == "owner")
    for organisation in alone:  # the manager signs for the owner, not for the other side
        with pytest.raises(NeedsSignature, match="once the other side signs"):
            move_signed(row, organisation=organisation, **again)
    assert "to" in go(client, row, "settled").context["form"].errors
    row.refresh_from_db()
    assert row.state == "settlement_offered"
    assert row.next_side == {"owner": "contractor", "placer": "owner"}[first]
    client.force_login(other.person)
    assert go(client, row, "settled").status_code == 302


def test_lines_of_a_settlement_are_closed_by_the_first_signature(row, owner, placer, client):
    dispute(row, "reported", owner)
    line = SettlementLineFactory(callback=row, entered_for=placer.organisation)
    wrong = SettlementLineFactory(callback=row)
    void_entry(wrong, why="mistyped", **NOBODY)
    client.force_login(placer.person)
    correct = reverse("entry_correct", args=["settlement_line", row.pk, line.pk])
    add = reverse("entry_add", args=["settlement_line", row.pk])
    page = client.get(reverse("callback_page", args=[row.pk])).content.decode()
    assert correct in page and add in page and client.get(correct).status_code == 200
    assert go(client, row, "settlement_offered", why="").status_code == 302
    page = client.get(reverse("callback_page", args=[row.pk])).content.decode()
    assert correct not in page and add not in page
    with pytest.raises(CannotBeVoided, match="settlement that is signed"):
        void_entry(line, why="mistyped", **NOBODY)
    with pytest.raises(CannotBeCorrected, match="settlement that is signed"):
        correct_entry(line, changes={"area": Change(1.0, "1")}, why="mistyped", **NOBODY)
    with pytest.raises(ValidationError, match="no further line"):
        add_entry(SettlementLineFactory.build(callback=row), **NOBODY)
    SettlementLineFactory(callback=row)  # behind the back of the rule: the second signature asks
    client.force_login(owner.person)
    answer = go(client, row, "settled")
    assert "written after it was signed" in answer.content.decode()
    assert go(client, row, "back-reported").status_code == 302
    void_entry(line, why="agreed otherwise", **NOBODY)


def test_a_settlement_of_nothing_is_not_signed(row, owner, client):
    dispute(row, "reported", owner)
    client.force_login(owner.person)
    assert go(client, row, "settlement_offered", why="").status_code == 200
    assert go(client, row, "settlement_offered", **PAPER).status_code == 302


def test_a_court_rules_and_the_record_stays_frozen(row, owner, placer, client):
    dispute(row, "in_court", placer)
    share = RaveledShareFactory(pavement=row.pavement)
    client.force_login(owner.person)
    assert go(client, row, "ruled", why="").status_code == 200
    assert (
        go(client, row, "ruled", why="county court, 2025-02-03, no. 12: C5 to C11").status_code
        == 302
    )
    row.refresh_from_db()
    assert frozen_under(share) == row
    assert "ruled by a court and not settled" in why_frozen(row)
    page = client.get(reverse("callback_page", args=[row.pk])).content.decode()
    assert "Ruled by a court and not settled by both sides" in page
    assert go(client, row, "remedy_dated").status_code == 302


@pytest.mark.parametrize("state", STATES)
def test_no_move_out_of_a_dispute_goes_unsigned(row, owner, client, state):
    dispute(row, state, owner)
    client.force_login(owner.person)
    ways = set(CALLBACK.next_states(state)) - IN_DISPUTE
    for goal in [*ways, "settlement_offered", "back-received"]:
        assert go(client, row, goal, signed_by=" ").status_code == 200
    with pytest.raises(NeedsSignature, match="write the name"):
        back = {"to_state": "received", "is_back": True, "why": "mistake", **NOBODY}
        move_signed(row, on=date(2024, 7, 10), **back)
    row.refresh_from_db()
    assert row.state == state
