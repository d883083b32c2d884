"""What the placing years show: the page, its file, what is asked wrongly, who is not let in."""

import csv
from datetime import date
from io import StringIO

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import Callback, PlacingDay, RaveledShare, WalkedPanel
from tests import factories
from tests.claim_rows import CLAIMED
from tests.placing_factories import (
    CallbackFactory,
    LoadFactory,
    PlacingDayFactory,
    SpreadFactory,
)
from tests.placing_rows import north_lot
from tests.views.record import manager_of

MOST_QUERIES = 12


@pytest.fixture
def placer(db, client):
    pavement, person = manager_of(role="contractor")
    client.force_login(person)
    return pavement.seats.get().organisation


@pytest.fixture
def lot(placer):
    pavement = north_lot()
    factories.SeatFactory(pavement=pavement, organisation=placer, role="contractor")
    PlacingDay.objects.update(entered_for=placer)
    RaveledShare.objects.update(entered_for=placer)
    claim = {"pavement": pavement, "contractor": placer, "received_at": "2024-04-29T13:00Z"}
    CallbackFactory(**claim, panels=CLAIMED)
    return pavement


def page(client, placer, **asked):
    answer = client.get(reverse("placing_years_page", args=[placer.pk]), asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def test_page_tells_rates_by_class_with_loads_and_jobs_behind_them(client, placer, lot):
    """Figures by hand in tests/gathering/test_placing_years.py; tau as printed with the dispute."""
    text = page(client, placer)
    for said in (
        "6336 ft² in 18 loads of 1 job", "called back, ft² per 1 000 ft²: 318 (",
        "1000. Too few for limits: 2 of at least 4 loads.", "outline by tape, 2 loads: 36",
        "0.69 (p under 0.001, 18 loads)", "6 factors tried", "7 ways of telling loads apart",
        "It does not judge people", "never says who is liable", "1 callback in these areas.",
        reverse("load_panels", args=[lot.pk]),
    ):  # fmt: skip
        assert said in text, said
    assert (
        reverse("placing_years_page", args=[placer.pk])
        in client.get(reverse("callback_list")).content.decode()
    )


def test_defects_that_the_contractor_sees_give_shares_and_others_none(client, placer, lot):
    """No warranty runs and no callback is open: it sees what its own side noted, and no more."""
    RaveledShare.objects.all().delete()
    Callback.objects.update(state="closed")
    on = date(2023, 10, 3)
    defect = factories.DefectFactory(
        pavement=lot, panel=lot.panels.get(name="C8"), first_seen_on=on
    )
    look = factories.ObservationFactory(defect=defect, seen_on=on, area_m2=1.0)
    assert "No raveled shares are on the record that you may see." in page(client, placer)
    visit = factories.VisitFactory(pavement=lot, done_on=on)
    walked = [WalkedPanel(visit=visit, panel=one) for one in lot.panels.all()]
    WalkedPanel.objects.bulk_create(walked)
    for row in (defect, look, visit):
        row.entered_for = placer
        row.save(update_fields=["entered_for"])
    assert "2023-10-03, defects’ areas written for a panel" in page(client, placer)
    address = reverse("placing_years_file", args=[placer.pk])
    assert "defects’ areas written for a panel" in client.get(address).content.decode()


def test_file_has_a_line_a_class_in_the_units_of_its_reader(client, placer, lot):
    address = reverse("placing_years_file", args=[placer.pk])
    rows = list(csv.DictReader(StringIO(client.get(address).content.decode())))
    late = next(row for row in rows if row["class"] == "over 45 min")
    assert (late["area_placed_ft2"], late["loads"]) == ("606.0", "2")
    assert late["called_back_ft2_per_1000_ft2"] == "1000.00"
    assert late["called_back_low_ft2_per_1000_ft2"] == ""
    person = placer.people.get()
    person.shown_system = "si"
    person.save(update_fields=["shown_system"])
    rows = list(csv.DictReader(StringIO(client.get(address).content.decode())))
    late = next(row for row in rows if row["class"] == "over 45 min")
    assert late["called_back_m2_per_100_m2"] == "100.00" and late["area_placed_m2"] == "56.3"


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"since": "2023", "until": "never"}, "Select a valid choice"),
        ({"since": "9" * 40}, "Select a valid choice"),
        ({"cause": "magic"}, "Select a valid choice"),
        ({"since": "2023", "until": "2019"}, "lies before the first one"),
    ],
    ids=["word", "long", "cause", "backwards"],
)
def test_wrong_choice_is_told_and_the_usual_years_are_shown(client, placer, lot, asked, words):
    PlacingDayFactory(pavement=lot, entered_for=placer, placed_on="2019-05-01")
    text = page(client, placer, **asked)
    assert words in text and "18 loads of 1 job" in text
    assert client.get(reverse("placing_years_file", args=[placer.pk]), asked).status_code == 200


def test_years_and_cause_narrow_it(client, placer, lot):
    PlacingDayFactory(pavement=lot, entered_for=placer, placed_on="2019-05-01")
    assert "2019-05-01" not in page(client, placer)
    assert "No load of these years can be laid over a plan" in page(
        client, placer, since="2019", until="2019"
    )
    assert "called back, ft² per 1 000 ft²: 0.0 (" in page(client, placer, cause="plow")


def test_without_a_placing_day_it_says_what_to_do_and_with_those_of_others_too(client, placer):
    assert "No placing day of this organisation" in page(client, placer)
    other = north_lot()
    factories.SeatFactory(pavement=other, organisation=placer, role="manager")
    assert "No placing day of this organisation" in page(client, placer)
    for name in ("placing_years_page", "placing_years_file"):
        strange = factories.OrganisationFactory()
        assert client.get(reverse(name, args=[strange.pk])).status_code == 404
    text = client.get(reverse("placing_years_file", args=[placer.pk])).content.decode()
    assert text.startswith("told_apart_by,class,") and len(text.splitlines()) == 1


def test_page_asks_as_much_for_one_job_as_for_twenty_more(client, placer):
    def job():
        pavement = factories.PavementFactory()
        factories.SeatFactory(pavement=pavement, organisation=placer, role="contractor")
        plan = factories.PlanFactory(pavement=pavement)
        factories.PanelFactory(pavement=pavement, plan=plan, name="A1")
        day = PlacingDayFactory(pavement=pavement, entered_for=placer)
        SpreadFactory(load=LoadFactory(placing_day=day), to_m=1.0)
        CallbackFactory(pavement=pavement, contractor=placer, received_at="2024-04-29T13:00Z")

    def asked():
        page(client, placer)
        with CaptureQueriesContext(connection) as found:
            text = page(client, placer)
        return len(found), text

    job()
    before, _ = asked()
    for _ in range(20):
        job()
    after, text = asked()
    assert after == before <= MOST_QUERIES
    assert "21 loads of 21 jobs" in text and Callback.objects.count() == 21
