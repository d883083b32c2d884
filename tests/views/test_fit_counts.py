"""How many pavements and tests a fit rests on is told to nobody from whom some are hidden."""

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.actions.backtest_pool import backtest_pool
from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.models import Outlook, Pavement, Pool, PoolPlace
from registry.models.choices import Role
from tests.factories import MembershipFactory, SeatFactory

pytestmark = pytest.mark.django_db
TODAY = timezone.now().date()
COUNTED = ("tested pavements", "observations", "behind it", 'data-label="numbers"', "with a number")


@pytest.fixture
def owners():
    """Two owners of invented pavements."""
    return [invent_portfolio(pavements=n, seed=n, as_of=TODAY) for n in (5, 8)]


@pytest.fixture
def pool(owners):
    """A town's pool that all pavements of both joined."""
    town = MembershipFactory()
    row = Pool.objects.create(organisation=town.organisation, name="Town pool", is_own=False)
    row.member = town
    for lot in Pavement.objects.all():
        PoolPlace.objects.create(pavement=lot, pool=row, by_document="permit", from_on=TODAY)
    return row


def fitted(pool_of):
    list(refresh_outlooks(as_of=TODAY))
    pools = Pool.objects.filter(fits__isnull=False, organisation=pool_of)
    members = Outlook.objects.filter(fit__pool=pools.get()).values_list("pavement", flat=True)
    return backtest_pool(pools.get(), list(members), as_of=TODAY)


def page(client, organisation, fit):
    client.force_login(MembershipFactory(organisation=organisation).person)
    answer = client.get(reverse("fit_page", args=[fit.pk]))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_who_runs_the_pool_is_told_all_counts(client, pool):
    fit = fitted(pool.organisation)
    text = page(client, pool.organisation, fit)
    assert f"<dt>tested pavements</dt><dd>{fit.pavements}</dd>" in text
    assert all(word in text for word in COUNTED)
    assert "<svg" in text


def test_owner_in_a_pool_with_others_is_told_what_was_found_and_no_count(client, owners, pool):
    fit = fitted(pool.organisation)
    text = page(client, owners[0], fit)
    assert not any(word in text for word in COUNTED)
    assert "<svg" not in text
    assert all(one["words"] in text for one in (*fit.drivers, *fit.recoveries))
    assert "inside the 80 % interval" in text and "Whether to believe it" in text
    assert "told to who runs the pool" in text


def test_owner_alone_in_its_own_pool_is_told_all_counts_a_split_whole_aside(client, owners):
    fit = fitted(owners[0])
    Pavement.objects.filter(pk=Outlook.objects.filter(fit=fit).first().pavement_id).update(
        state="split"
    )
    text = page(client, owners[0], fit)
    assert all(word in text for word in COUNTED)


def test_evaluator_of_one_pavement_is_not_told_how_many_its_owner_has(client, owners):
    fit = fitted(owners[0])
    lots = Pavement.objects.filter(entered_for=owners[0])
    seat = SeatFactory(pavement=lots.first(), role=Role.EVALUATOR)
    assert not any(word in page(client, seat.organisation, fit) for word in COUNTED)
    for lot in lots[1:]:
        SeatFactory(pavement=lot, organisation=seat.organisation, role=Role.EVALUATOR)
    assert all(word in page(client, seat.organisation, fit) for word in COUNTED)
