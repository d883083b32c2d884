"""Pools on pages: the fit in force, joining by a consent, leaving; and prices of cleaning."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.actions.sort_into_pools import make_own_pools
from registry.gathering.pools import pool_of
from registry.models import JournalLine, Outlook, Pavement, Pool, PoolPlace, Price
from registry.models.choices import Role
from tests.factories import MembershipFactory, PavementFactory, SeatFactory

pytestmark = pytest.mark.django_db
TODAY = timezone.now().date()


@pytest.fixture
def town():
    """A member of a municipality that runs a pool and reviews a pavement of another owner."""
    return MembershipFactory(organisation__name="Town")


@pytest.fixture
def lot(town):
    row = PavementFactory()
    SeatFactory(pavement=row, organisation=town.organisation, role=Role.MUNICIPALITY)
    SeatFactory(pavement=row, role=Role.OWNER)
    return row


@pytest.fixture
def pool(town):
    return Pool.objects.create(organisation=town.organisation, name="Town pool", is_own=False)


def sent(client, member, page, /, *args, **data):
    client.force_login(member.person)
    return client.post(reverse(page, args=args), data)


def join(client, member, lot, into, /, **data):
    given = {"pool": into.pk, "by_document": "permit 7 of 2026-06-01", "from_on": "2026-06-01"}
    return sent(client, member, "pool_join", lot.pk, **{**given, **data})


def test_organisation_sets_up_a_pool_once(client, town):
    answer = sent(client, town, "pool_list", town.organisation_id, name="Old town")
    assert answer["Location"] == reverse("pool_page", args=[Pool.objects.get().pk])
    again = sent(client, town, "pool_list", town.organisation_id, name="old town")
    assert "runs a pool of this name already" in again.content.decode()
    assert Pool.objects.count() == 1


def test_pavement_joins_by_a_dated_permit_and_leaves_with_a_reason(client, town, lot, pool):
    assert join(client, town, lot, pool).status_code == 302
    assert pool_of(lot, date(2026, 6, 1)) == pool
    text = client.get(reverse("pool_page", args=[pool.pk])).content.decode()
    assert "permit 7 of 2026-06-01" in text
    answer = sent(client, town, "pool_leave", lot.pk, on="2026-07-01", why="withdrawn")
    assert answer.status_code == 302
    assert pool_of(lot, date(2026, 7, 1)) is None
    verbs = JournalLine.objects.filter(pavement=lot).values_list("verb", "why")
    assert set(verbs) == {
        ("joined a pool", "permit 7 of 2026-06-01"),
        ("left a pool", "withdrawn"),
    }


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"by_document": " "}, "This field is required"),
        ({"from_on": "soon"}, "soon"),
        ({"pool": "0"}, "Select a valid choice"),
        ({"from_on": ""}, "This field is required"),
    ],
)
def test_joining_without_a_document_a_day_or_a_pool_is_refused(client, town, lot, pool, data, said):
    answer = join(client, town, lot, pool, **data)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert not PoolPlace.objects.exists()


def test_nobody_is_in_two_pools_on_a_day(client, town, lot, pool):
    join(client, town, lot, pool)
    sent(client, town, "pool_leave", lot.pk, on="2026-07-01", why="withdrawn")
    other = Pool.objects.create(organisation=town.organisation, name="Other", is_own=False)
    answer = join(client, town, lot, other, from_on="2026-06-15")
    assert "until 2026-07-01" in answer.content.decode()
    assert join(client, town, lot, other, from_on="2026-07-01").status_code == 302
    answer = sent(client, town, "pool_leave", lot.pk, on="2026-07-01", why="again")
    assert "leaves on a later day" in answer.content.decode()


def test_owner_takes_its_pavement_out_again_but_a_sweeper_does_not(client, town, lot, pool):
    join(client, town, lot, pool)
    owner = MembershipFactory(organisation=lot.seats.get(role=Role.OWNER).organisation)
    sweeper = MembershipFactory()
    SeatFactory(pavement=lot, organisation=sweeper.organisation, role=Role.SWEEPER)
    data = {"on": "2026-08-01", "why": "consent withdrawn"}
    assert sent(client, sweeper, "pool_leave", lot.pk, **data).status_code == 403
    assert sent(client, owner, "pool_leave", lot.pk, **data).status_code == 302


def test_who_runs_no_pool_may_take_nobody_into_one(client, lot, pool):
    owner = MembershipFactory(organisation=lot.seats.get(role=Role.OWNER).organisation)
    assert join(client, owner, lot, pool).status_code == 403


def test_who_runs_a_pool_sees_outlooks_of_it_and_of_no_other(client, town, pool):
    invent_portfolio(pavements=6, seed=3, as_of=TODAY)
    rows = list(Pavement.objects.order_by("pk"))
    for row in rows:
        SeatFactory(pavement=row, organisation=town.organisation, role=Role.MUNICIPALITY)
    for row in rows[:3]:
        join(client, town, row, pool)
    list(refresh_outlooks(as_of=TODAY))
    statuses = [client.get(reverse("outlook_page", args=[row.pk])).status_code for row in rows]
    assert statuses == [200] * 3 + [403] * 3
    page = client.get(reverse("pool_page", args=[pool.pk]))
    assert {o.pavement_id for o in page.context["page"]} == {row.pk for row in rows[:3]}
    listed = client.get(f"{reverse('pavement_list')}?chance_from=0")
    assert {r.pavement.pk for r in listed.context["rows"]} == {row.pk for row in rows[:3]}
    own = Pool.objects.get(is_own=True)
    assert client.get(reverse("pool_page", args=[own.pk])).status_code == 404
    assert Outlook.objects.filter(fit__pool=own).count() == 3


def test_page_of_a_pool_says_what_is_missing(client):
    owner = MembershipFactory()
    SeatFactory(organisation=owner.organisation)
    make_own_pools(on=TODAY)
    client.force_login(owner.person)
    text = client.get(reverse("pool_page", args=[Pool.objects.get().pk])).content.decode()
    assert "No fit of this pool has converged yet." in text
    assert "No pavement has an outlook" in text


def priced(client, member, **data):
    given = {
        "method_class": "vacuum",
        "system": "inch_pound",
        "per_m2": "0.05",
        "at_least": "400",
        "currency": "$",
        "from_on": "2026-01-01",
    }
    return sent(client, member, "entry_add", "price", member.organisation_id, **{**given, **data})


def test_price_per_square_foot_is_kept_per_square_metre_with_what_was_written(client, town):
    answer = priced(client, town)
    assert answer["Location"] == reverse("price_list", args=[town.organisation_id])
    row = Price.objects.get()
    assert float(row.per_m2) == pytest.approx(0.05 / 0.09290304, abs=1e-6)
    assert row.as_written["per_m2"] == "0.05 per ft²"
    text = client.get(answer["Location"]).content.decode()
    assert "0.05 per ft²" in text
    assert "400.00" in text


@pytest.mark.parametrize("price", ["-1", "cheap", "", "nk", "1e999", "nan"])
def test_price_that_is_none_is_refused(client, town, price):
    answer = priced(client, town, per_m2=price)
    assert answer.status_code == 200
    assert "per_m2" in answer.context["form"].errors
    assert not Price.objects.exists()


@pytest.mark.parametrize("currency", ["", "  "])
def test_price_says_its_currency_and_no_currency_is_offered(client, town, currency):
    answer = priced(client, town, currency=currency)
    assert "currency" in answer.context["form"].errors
    assert not Price.objects.exists()
    asked = client.get(reverse("entry_add", args=["price", town.organisation_id]))
    assert not asked.context["form"]["currency"].value()


def test_price_is_corrected_by_a_line_and_ended(client, town):
    priced(client, town)
    row = Price.objects.get()
    where = ("price", town.organisation_id, row.pk)
    form = client.get(reverse("entry_correct", args=where)).context["form"]
    data = {name: form[name].value() or "" for name in form.fields}
    kept = sent(client, town, "entry_correct", *where, **data, why="nothing new")
    assert Price.objects.get().per_m2 == row.per_m2, kept.status_code
    data["seen"] = client.get(reverse("entry_correct", args=where)).context["form"]["seen"].value()
    data["per_m2"] = "0.06"
    assert sent(client, town, "entry_correct", *where, **data, why="typing").status_code == 302
    line = JournalLine.objects.filter(verb="corrected").latest("pk")
    assert line.changes["per_m2"] == ["0.05 per ft²", "0.06 per ft²"]
    on = TODAY + timedelta(days=1)
    ended = sent(client, town, "entry_end", *where, on=f"{on:%Y-%m-%d}", why="new offer")
    assert ended.status_code == 302
    assert Price.objects.get().to_on == on


def test_everybody_who_joined_is_listed_page_by_page(client, town, pool):
    lots = [PavementFactory(name=f"Lot {n:03}") for n in range(60)]
    PoolPlace.objects.bulk_create(
        PoolPlace(pool=pool, pavement=lot, by_document="permit 7", from_on="2026-06-01")
        for lot in lots
    )
    client.force_login(town.person)
    address = reverse("pool_page", args=[pool.pk])
    first = client.get(address).content.decode()
    second = client.get(f"{address}?joined=2").content.decode()
    assert all((f"Lot {n:03}" in first) != (f"Lot {n:03}" in second) for n in range(60))
    assert "joined=2#joined" in first
