"""A sale moves the seats at the hour of the deed, ahead or entered late."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from registry import access
from registry.actions.sell_pavement import CannotSell, Decision, Deed, sell_pavement
from registry.gathering.open_items import open_items
from registry.models import DirtSource, JournalLine, Seat
from registry.models.choices import Role
from tests.factories import (
    InfiltrationTestFactory,
    MembershipFactory,
    OrganisationFactory,
    PavementFactory,
    SeatFactory,
)

pytestmark = pytest.mark.django_db
HOUR = datetime(2024, 6, 3, 14, tzinfo=ZoneInfo("America/New_York"))
BEFORE, AFTER = HOUR - timedelta(seconds=1), HOUR + timedelta(seconds=1)


@pytest.fixture
def pavement():
    return PavementFactory()


@pytest.fixture
def owner(pavement):
    return SeatFactory(pavement=pavement, role=Role.OWNER)


@pytest.fixture
def buyer():
    return OrganisationFactory(name="Buyer")


def sell(pavement, buyer, at=HOUR, **options):
    return sell_pavement(
        pavement=pavement,
        deed=Deed(buyer, at, "deed 77"),
        decisions=options.pop("decisions", {}),
        by=None,
        organisation=None,
        **options,
    )


def held(pavement, role, at):
    rows = Seat.objects.filter(pavement=pavement, role=role).held_at(at)
    return {seat.organisation for seat in rows}


def test_owner_changes_at_the_hour_and_not_a_second_before(pavement, owner, buyer):
    sell(pavement, buyer)
    assert held(pavement, Role.OWNER, BEFORE) == {owner.organisation}
    assert held(pavement, Role.OWNER, HOUR) == {buyer}


def test_case_49_rights_change_at_the_hour(pavement, owner, buyer):
    seller = MembershipFactory(organisation=owner.organisation).person
    bought = MembershipFactory(organisation=buyer).person
    sell(pavement, buyer)
    assert access.rights_at(seller, pavement, BEFORE).may("record_test")
    assert not access.rights_at(bought, pavement, BEFORE).may("read")
    assert not access.rights_at(seller, pavement, HOUR).may("record_test")
    assert access.rights_at(bought, pavement, HOUR).may("record_test")


@pytest.mark.parametrize("role", [Role.MANAGER, Role.TESTER, Role.SWEEPER, Role.BUYER])
def test_what_the_seller_gave_ends(pavement, owner, buyer, role):
    SeatFactory(pavement=pavement, role=role)
    sell(pavement, buyer)
    assert len(held(pavement, role, BEFORE)) == 1
    assert held(pavement, role, HOUR) == set()


@pytest.mark.parametrize("role", [Role.CONTRACTOR, Role.MUNICIPALITY, Role.EVALUATOR])
def test_the_others_stay(pavement, owner, buyer, role):
    SeatFactory(pavement=pavement, role=role)
    sell(pavement, buyer)
    assert len(held(pavement, role, AFTER)) == 1


def test_manager_whom_the_buyer_appoints_goes_on_in_a_seat_of_the_buyers(pavement, owner, buyer):
    old = SeatFactory(pavement=pavement, role=Role.MANAGER)
    sell(pavement, buyer, kept={old.pk})
    new = Seat.objects.get(pavement=pavement, role=Role.MANAGER, to_at=None)
    old.refresh_from_db()
    assert (old.to_at, new.from_at) == (HOUR, HOUR)
    assert (new.organisation, new.appointed_by) == (old.organisation, buyer)


def test_all_co_owners_end(pavement, owner, buyer):
    SeatFactory(pavement=pavement, role=Role.OWNER)
    sell(pavement, buyer)
    assert held(pavement, Role.OWNER, HOUR) == {buyer}


def test_co_owner_who_buys_the_rest_keeps_its_seat(pavement, owner):
    other = SeatFactory(pavement=pavement, role=Role.OWNER)
    assert sell(pavement, other.organisation) == other
    assert held(pavement, Role.OWNER, HOUR) == {other.organisation}


def test_sale_ahead_changes_nothing_until_its_hour(pavement, owner, buyer):
    at = datetime(2999, 1, 1, 12, tzinfo=UTC)
    seller = MembershipFactory(organisation=owner.organisation).person
    bought = MembershipFactory(organisation=buyer).person
    sell(pavement, buyer, at)
    assert access.may(seller, pavement, "record_test")
    assert not access.visible_pavements(bought).exists()


def test_appointments_made_after_the_hour_of_a_late_sale_never_were(pavement, owner, buyer):
    manager = MembershipFactory()
    SeatFactory(
        pavement=pavement, role=Role.MANAGER, organisation=manager.organisation, from_at=AFTER
    )
    sell(pavement, buyer)
    assert not access.visible_pavements(manager.person).exists()


def test_case_49_warranty_keeps_its_last_day_and_a_notice_falls_due(pavement, owner, buyer):
    last = date(2026, 6, 30)
    seat = SeatFactory(pavement=pavement, role=Role.CONTRACTOR, warranty_last_on=last)
    sell(pavement, buyer)
    seat.refresh_from_db()
    assert (seat.warranty_last_on, seat.to_at) == (last, None)
    line = JournalLine.objects.get(verb="transfer notice due")
    assert f"to be sent to {seat.organisation}" in line.why
    assert "unchanged, 2026-06-30" in line.why


def test_no_notice_to_a_contractor_whose_warranty_is_over(pavement, owner, buyer):
    SeatFactory(pavement=pavement, role=Role.CONTRACTOR, warranty_last_on=date(2024, 6, 2))
    sell(pavement, buyer)
    assert not JournalLine.objects.filter(verb="transfer notice due").exists()


def test_journal_says_who_sold_to_whom_by_which_deed_at_the_sites_hour(pavement, owner, buyer):
    sell(pavement, buyer)
    line = JournalLine.objects.get(verb="sold")
    assert line.changes == {"owner": [owner.organisation.name, "Buyer"]}
    assert line.why == "deed 77; from 2024-06-03 14:00 local time"


def test_nobody_sells_what_nobody_owns(pavement, buyer):
    SeatFactory(pavement=pavement, role=Role.MANAGER)
    with pytest.raises(CannotSell, match="Nobody owns"):
        sell(pavement, buyer)
    assert len(held(pavement, Role.MANAGER, AFTER)) == 1


def test_owner_does_not_buy_from_itself(pavement, owner):
    with pytest.raises(CannotSell, match="owns it already"):
        sell(pavement, owner.organisation)


def test_sale_before_one_that_is_entered_is_refused(pavement, owner, buyer):
    sell(pavement, buyer)
    third = OrganisationFactory()
    for at in (HOUR - timedelta(days=30), HOUR):
        with pytest.raises(CannotSell, match="cannot be entered any more"):
            sell(pavement, third, at)
    assert held(pavement, Role.OWNER, AFTER) == {buyer}


def test_sold_again_later(pavement, owner, buyer):
    sell(pavement, buyer)
    third = OrganisationFactory()
    sell(pavement, third, HOUR + timedelta(days=30))
    assert held(pavement, Role.OWNER, HOUR + timedelta(days=29)) == {buyer}
    assert held(pavement, Role.OWNER, HOUR + timedelta(days=31)) == {third}


@pytest.fixture
def planned(pavement):
    return InfiltrationTestFactory(pavement=pavement, state="planned")


@pytest.fixture
def doubted(pavement):
    doubts = [{"code": "wet_day", "message": "It rained.", "mend": ""}]
    return InfiltrationTestFactory(pavement=pavement, doubts=doubts, has_open_doubts=True)


@pytest.fixture
def dirt(pavement):
    return DirtSource.objects.create(pavement=pavement, kind="bed", detail="above the stalls")


def test_open_items_are_planned_tests_unanswered_doubts_and_sources_of_dirt(
    pavement, planned, doubted, dirt
):
    keys = [item.key for item in open_items(pavement)]
    assert keys == [f"planned-{planned.pk}", f"doubt-{doubted.pk}-wet_day", f"dirt-{dirt.pk}"]


def test_answered_doubt_and_stopped_dirt_are_not_open(pavement, doubted, dirt):
    type(doubted).objects.update(answers={"wet_day": {"text": "it did not", "lifts": True}})
    DirtSource.objects.update(stopped_on=date(2024, 1, 1))
    assert open_items(pavement) == ()


def test_sale_with_an_item_left_out_changes_nothing(pavement, owner, buyer, planned, dirt):
    taken = {f"planned-{planned.pk}": Decision(True, "Ann")}
    with pytest.raises(CannotSell, match="say who takes it over"):
        sell(pavement, buyer, decisions=taken)
    nameless = {**taken, f"dirt-{dirt.pk}": Decision(True, " ")}
    with pytest.raises(CannotSell, match="say who takes it over"):
        sell(pavement, buyer, decisions=nameless)
    assert held(pavement, Role.OWNER, AFTER) == {owner.organisation}
    assert not JournalLine.objects.exists()


def test_case_49_items_are_ended_or_taken_over_by_name(
    pavement, owner, buyer, planned, doubted, dirt
):
    decisions = {
        f"planned-{planned.pk}": Decision(False, "Ann"),
        f"doubt-{doubted.pk}-wet_day": Decision(True, "Bob"),
        f"dirt-{dirt.pk}": Decision(False, "Ann"),
    }
    sell(pavement, buyer, decisions=decisions)
    for row in (planned, doubted, dirt):
        row.refresh_from_db()
    assert (planned.state, planned.not_done_why) == ("not_done", "called off at the sale to Buyer")
    assert dirt.stopped_on is not None
    assert doubted.answers == {}
    said = JournalLine.objects.filter(verb="taken over").get().why
    assert said.startswith("by Bob, at the sale to Buyer: Doubt about infiltration test")
    assert not said.endswith(".")
    assert JournalLine.objects.filter(verb="ended", why__startswith="by Ann").count() == 2


def test_doubt_does_not_end_by_a_sale(pavement, owner, buyer, doubted):
    with pytest.raises(CannotSell, match="only be taken over"):
        sell(pavement, buyer, decisions={f"doubt-{doubted.pk}-wet_day": Decision(False, "Ann")})
