"""Pages of a pavement with many tests stay short, and say what they leave out."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.models import Cleaning, InfiltrationTest
from registry.models.choices import Role
from registry.views.infiltration_test import DAYS_A_PAGE, RUNS_A_DAY
from tests.factories import InfiltrationTestFactory, MembershipFactory, SeatFactory, SpotFactory

pytestmark = pytest.mark.django_db
FIRST = date(2020, 1, 1)


@pytest.fixture
def seat(client):
    seat = SeatFactory(role=Role.OWNER)
    client.force_login(MembershipFactory(organisation=seat.organisation).person)
    return seat


def run_on(seat, day, spot=None):
    spot = spot or SpotFactory(pavement=seat.pavement)
    return InfiltrationTestFactory(pavement=seat.pavement, spot=spot, started_on=day)


def test_days_of_tests_come_page_by_page_newest_first(client, seat):
    spot = SpotFactory(pavement=seat.pavement)
    days = [FIRST + timedelta(days=n) for n in range(DAYS_A_PAGE + 3)]
    for day in days:
        run_on(seat, day, spot)
    address = reverse("infiltration_test_list", args=[seat.pavement_id])
    first, second = client.get(address), client.get(f"{address}?page=2")
    assert [d.on for d in first.context["days"]] == days[:2:-1]
    assert [d.on for d in second.context["days"]] == days[2::-1]
    assert "page 1 of 2" in first.content.decode()


def test_day_of_many_runs_names_some_and_leads_to_all(client, seat):
    spot = SpotFactory(pavement=seat.pavement)
    made = run_on(seat, FIRST, spot)
    made.pk = None
    InfiltrationTest.objects.bulk_create(
        InfiltrationTest(
            **{f.attname: getattr(made, f.attname) for f in made._meta.concrete_fields[1:]}
        )
        for _ in range(RUNS_A_DAY + 1)
    )
    address = reverse("infiltration_test_list", args=[seat.pavement_id])
    text = client.get(address).content.decode()
    link = f"{address}?on=2020-01-01"
    assert link in text
    assert f"{RUNS_A_DAY} of {RUNS_A_DAY + 2} runs are named here" in text
    whole = client.get(link).content.decode()
    assert whole.count(", run ") == RUNS_A_DAY + 2
    assert client.get(f"{address}?on=soon").status_code == 404


def offered(answer):
    return {pk for pk, _ in answer.context["form"].fields["before_tests"].widget.choices}


def test_cleaning_offers_tests_near_its_day_and_takes_any(client, seat):
    spot = SpotFactory(pavement=seat.pavement)
    today = timezone.now().date()
    near, old = run_on(seat, today - timedelta(days=9), spot), run_on(seat, FIRST, spot)
    address = reverse("cleaning_add", args=[seat.pavement_id])
    answer = client.get(address)
    assert offered(answer) == {near.pk}
    assert "1 more can be" in answer.content.decode()
    assert offered(client.get(f"{address}?tests=all")) == {near.pk, old.pk}
    sent = {"state": "done", "method": "vacuum", "done_on": "2020-01-05", "system": "si"}
    assert offered(client.post(address, {**sent, "passes": "many"})) == {old.pk}
    chosen = {**sent, "before_tests": [near.pk], "passes": "many"}
    assert offered(client.post(address, chosen)) == {near.pk, old.pk}
    assert client.post(address, {**sent, "before_tests": [old.pk]}).status_code == 302
    assert list(Cleaning.objects.get().before_tests.all()) == [old]
