"""The command works a round out, prints it with each rule by its name, and stores nothing."""

import json

import pytest
from django.core.management import CommandError, call_command

from registry.models import Round, RoundDay, WorkOrder
from tests.factories import OrganisationFactory
from tests.gathering.rounds import crew, keeper, order

pytestmark = pytest.mark.django_db
FROM = {"first_on": "2031-09-15", "days": 7, "iterations": 50}


def plan(capsys, organisation="Keepers", **options):
    call_command("plan_round", organisation=organisation, **FROM | options)
    return capsys.readouterr().out


@pytest.fixture
def town():
    org = keeper()
    crew(org)
    order(org, n=1)
    order(org, n=2, site={"heaviest_axle_kg": 3000.0})
    return org


def test_round_is_printed_and_nothing_is_stored(town, capsys):
    before = list(WorkOrder.objects.values())
    said = plan(capsys)
    assert "Mon 2031-09-15, crew A: leaves 07:00" in said
    assert "sweep W-1, lot 1: full vacuum" in said
    assert "Left out: W-2. Rule: the axle load is within the limit of slab and way in." in said
    assert "1 of 2 orders on 1 crew-days" in said
    assert list(WorkOrder.objects.values()) == before
    assert not Round.objects.exists()
    assert not RoundDay.objects.exists()


def test_file_tells_the_same(town, capsys, tmp_path):
    path = tmp_path / "round.json"
    plan(capsys, json=path)
    data = json.loads(path.read_text(encoding="utf-8"))
    assert data["crew_days"][0]["stops"][0]["ref"] == "W-1"
    assert data["crew_days"][0]["leaves_at"] == "2031-09-15T07:00:00-04:00"
    assert [(left["order"], left["rule"]) for left in data["left_out"]] == [("W-2", "AXLE")]
    assert data["broken_rules"] == []
    assert data["nearest_due"]["placed"] == data["objective"]["placed"] == 1


def test_same_seed_and_iterations_print_the_same(town, capsys):
    assert plan(capsys, seed=4) == plan(capsys, seed=4)


def test_table_of_driving_times_is_taken(town, capsys, tmp_path):
    path = tmp_path / "times.csv"
    sites = ("yard", "site 1", "site 2")
    lines = [f"{a},{b},25" for a in sites for b in sites if a != b]
    path.write_text("\n".join(["from,to,minutes", *lines]), encoding="utf-8")
    assert "50 minutes of driving" in plan(capsys, travel=path)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"organisation": "Nobody"}, "no organisation “Nobody”"),
        ({"first_on": "03/04/2031"}, "03/04/2031"),
        ({"days": 0}, "1 to 366 days"),
        ({"days": 367}, "1 to 366 days"),
        ({"seconds": -1}, "no less than 0"),
        ({"seconds": 601}, "At most 600"),
        ({"seed": -1}, "no less than 0"),
        ({"time_zone": "Asia/Tokyo"}, "No site keeps the time"),
    ],
)
def test_what_cannot_be_is_said(town, capsys, options, said):
    with pytest.raises(CommandError, match=said):
        plan(capsys, **options)


def test_file_that_is_not_there_is_said(town, capsys, tmp_path):
    with pytest.raises(CommandError, match="No such file"):
        plan(capsys, travel=tmp_path / "none.csv")
    with pytest.raises(CommandError, match="No such file"):
        plan(capsys, json=tmp_path / "none" / "round.json")


def test_organisation_without_crews_gives_an_empty_round(capsys):
    OrganisationFactory(name="Idle")
    assert "0 of 0 orders" in plan(capsys, organisation="Idle")
