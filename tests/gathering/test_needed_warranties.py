"""Both sides are told of each last day of a warranty, its parts' too, from the reminder on."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from registry.models.choices import Role
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import WarrantyFactory, WarrantyPartFactory
from tests.views.test_home import fill, held, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper():
    return MembershipFactory()


@pytest.fixture
def placer():
    return MembershipFactory()


@pytest.fixture
def lot(keeper, placer):
    pavement = held(keeper)
    SeatFactory(pavement=pavement, organisation=placer.organisation, role=Role.CONTRACTOR)
    return pavement


def started(last: date, years: int = 2) -> dict:
    """The start of a warranty that ends on a day, by N20: from 29 February four years do."""
    start = last + timedelta(days=1)
    years = 4 if (start.month, start.day) == (2, 29) else years
    return {"start_on": start.replace(year=start.year - years), "years": years}


def terms(lot, placer, days=30, **more):
    given = {"number": "H-2306", "state": "running", **started(today() + timedelta(days=days))}
    return WarrantyFactory(pavement=lot, contractor=placer.organisation, **{**given, **more})


def ends(client, member):
    client.force_login(member.person)
    needs = client.get(reverse("home")).context["needs"]
    rows = (*needs.overdue, *needs.today, *needs.ahead)
    return [(need.by_on, need.why) for need in rows if need.what == "Warranty ends"]


def test_owner_s_side_and_contractor_are_told_the_last_day_of_the_terms(
    client, lot, keeper, placer
):
    row = terms(lot, placer)
    for member in (keeper, placer):
        ((on, why),) = ends(client, member)
        assert on == today() + timedelta(days=30)
        assert f"H-2306 of {placer.organisation}" in why
        page = client.get(reverse("home")).content.decode()
        assert reverse("warranty_page", args=[row.pk]) in page
    assert ends(client, MembershipFactory()) == []


def test_each_part_ends_on_its_own_day(client, lot, keeper, placer):
    row = terms(lot, placer, days=400)
    last = today() + timedelta(days=12)
    WarrantyPartFactory(warranty=row, panels=["C5"], panels_text="C5-C11", **started(last, 1))
    WarrantyPartFactory(warranty=row, name="other", **started(today() + timedelta(days=90), 1))
    for member in (keeper, placer):
        ((on, why),) = ends(client, member)
        assert on == last and "replaced panels (C5-C11)" in why


def test_a_last_day_by_agreement_is_the_one_told(client, lot, keeper, placer):
    early = today() + timedelta(days=5)
    terms(lot, placer, days=500, ended_early_on=early)
    assert [on for on, _ in ends(client, keeper)] == [early]


def test_the_reminder_comes_on_the_day_the_terms_set(client, lot, keeper, placer):
    terms(lot, placer, days=61)
    terms(lot, placer, days=101, number="H-9", remind_days=100)
    assert ends(client, keeper) == []
    terms(lot, placer, days=60, number="H-10")
    terms(lot, placer, days=100, number="H-11", remind_days=100)
    assert [why.split()[5] for _, why in ends(client, keeper)] == ["H-10", "H-11"]
    assert "In the next 100 days" in client.get(reverse("home")).content.decode()


@pytest.mark.parametrize("more", [{"state": "ended"}, {"state": "not_started"}, {"start_on": None}])
def test_what_does_not_run_or_has_no_start_reminds_of_nothing(client, lot, keeper, placer, more):
    terms(lot, placer, **more)
    assert ends(client, keeper) == []


def test_a_day_that_the_seat_says_too_is_told_once(client, lot, keeper, placer):
    terms(lot, placer)
    lot.seats.filter(role=Role.CONTRACTOR).update(warranty_last_on=today() + timedelta(days=30))
    assert len(ends(client, keeper)) == 1


def test_another_contractor_of_the_pavement_is_not_told(client, lot, placer):
    terms(lot, placer)
    other = SeatFactory(pavement=lot, role=Role.CONTRACTOR)
    assert ends(client, MembershipFactory(organisation=other.organisation)) == []


def test_twenty_more_warranties_ask_no_more_questions(
    client, lot, keeper, placer, django_assert_max_num_queries
):
    fill(keeper, 1)
    row = terms(lot, placer)
    client.force_login(keeper.person)
    with django_assert_max_num_queries(12) as few:
        client.get(reverse("home"))
    for nth in range(20):
        terms(lot, placer, days=nth, number=f"H-{nth}")
        WarrantyPartFactory(warranty=row, **started(today() + timedelta(days=nth), 1))
    with django_assert_max_num_queries(12) as many:
        client.get(reverse("home"))
    assert len(many) == len(few)
