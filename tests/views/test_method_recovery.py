"""What cleaning regained over a year, and the page of a machine."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from registry.models import InfiltrationTest
from tests import factories
from tests.views.record import manager_of

MOST_QUERIES = 12
GAINS = (1.2, 1.5, 2.0, 0.9)


@pytest.fixture
def keeper(db, client):
    _, person = manager_of()
    client.force_login(person)
    return person.organisations.get()


@pytest.fixture
def machine(keeper):
    return factories.MachineFactory(organisation=keeper, name="sweeper 4")


def read_at(pavement, spot, on, mm_h):
    row = factories.InfiltrationTestFactory(
        pavement=pavement, spot=spot, started_on=on, rain_within_24_h="no", use="trend"
    )
    given = {"result_value": mm_h / 25.4, "result_constant": 126870.0, "result_rate_mm_h": mm_h}
    InfiltrationTest.objects.filter(pk=row.pk).update(system="inch_pound", use="trend", **given)


def cleaned(keeper, machine, gain, *, days_ago=30, method="vacuum", pavement=None):
    if pavement is None:
        pavement, _ = manager_of()
        factories.SeatFactory(pavement=pavement, organisation=keeper, role="manager")
    spot = factories.SpotFactory(pavement=pavement)
    on = timezone.localdate() - timedelta(days=days_ago)
    row = factories.CleaningFactory(
        pavement=pavement, done_on=on, method=method, swept_with=machine, entered_for=keeper
    )
    read_at(pavement, spot, on - timedelta(days=2), 100.0)
    read_at(pavement, spot, on + timedelta(days=2), 100.0 * gain)
    return row


def page_of(client, name, *args, **asked):
    answer = client.get(reverse(name, args=args), asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_gain_of_four_pavements_is_given_with_its_interval(client, keeper, machine):
    for gain in GAINS:
        cleaned(keeper, machine, gain)
    page = page_of(client, "method_recovery")
    # worked by hand in tests/planning/test_method_recovery.py
    assert page.count("1.34 times, 0.78 to 2.30") == 2  # the method, and its one machine
    assert "at spots 0.9 to 2.0" in page
    assert reverse("machine_page", args=[machine.pk]) in page


def test_under_four_pavements_it_is_refused_with_the_count(client, keeper, machine):
    for gain in GAINS[:3]:
        cleaned(keeper, machine, gain)
    page = page_of(client, "method_recovery")
    assert "Too few: 3 of at least 4 pavements." in page and "times" not in page.split("Only")[1]


def test_machines_stand_under_their_method(client, keeper, machine):
    other = factories.MachineFactory(organisation=keeper, name="wash unit")
    for gain in GAINS:
        cleaned(keeper, machine, gain)
        cleaned(keeper, other, gain, method="wash_and_vacuum")
    answer = client.get(reverse("method_recovery"))
    told = [(row.method, row.machine) for row in answer.context["rows"]]
    assert told == [
        ("vacuum", ""), ("vacuum", "sweeper 4"), ("wash_and_vacuum", ""),
        ("wash_and_vacuum", "wash unit"),
    ]  # fmt: skip


def test_year_is_chosen_and_what_is_no_year_shows_the_last_twelve_months(client, keeper, machine):
    row = cleaned(keeper, machine, 1.5, days_ago=800)
    assert "Nothing was cleaned" in page_of(client, "method_recovery")
    asked = {"span": str(row.done_on.year)}
    assert "full vacuum sweeper" in page_of(client, "method_recovery", **asked)
    for wrong in ("never", "0", "1" * 40):
        assert "Nothing was cleaned" in page_of(client, "method_recovery", span=wrong)


def test_cleaning_of_others_is_not_counted(client, keeper, machine):
    pavement, person = manager_of()
    other = person.organisations.get()
    cleaned(other, factories.MachineFactory(organisation=other), 1.5, pavement=pavement)
    assert "Nothing was cleaned" in page_of(client, "method_recovery")


def test_machine_page_tells_what_it_can_do_where_it_was_and_what_it_regained(
    client, keeper, machine
):
    rows = [cleaned(keeper, machine, gain) for gain in GAINS]
    crew = factories.CrewFactory(organisation=keeper, machine=machine, name="sweeping crew")
    page = page_of(client, "machine_page", machine.pk)
    for row in rows:
        assert str(row.pavement) in page
    assert "1.34 times, 0.78 to 2.30 over 4 pavements" in page
    assert reverse("crew_page", args=[crew.pk]) in page


def test_machine_of_another_firm_is_not_there(client, keeper):
    other = factories.MachineFactory()
    assert client.get(reverse("machine_page", args=[other.pk])).status_code == 404


@pytest.mark.parametrize("name", ["method_recovery", "machine_page"])
def test_page_asks_as_much_for_one_cleaning_as_for_twenty_more(client, keeper, machine, name):
    args = [machine.pk] if name == "machine_page" else []

    def asked():
        client.get(reverse(name, args=args))
        with CaptureQueriesContext(connection) as found:
            assert client.get(reverse(name, args=args)).status_code == 200
        return len(found)

    cleaned(keeper, machine, 1.2)
    before = asked()
    for _ in range(20):
        cleaned(keeper, machine, 1.2)
    assert asked() == before <= MOST_QUERIES
