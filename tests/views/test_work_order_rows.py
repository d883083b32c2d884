"""Rows and spots of a stored order, put right through their page."""

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.forms.work_order_rows import PARTS
from registry.models import JournalLine
from tests import factories
from tests.sheets.rows_of_lot import lot_of
from tests.views.record import manager_of, written, wrongs


@pytest.fixture
def lot(db, client):
    pavement, person = manager_of(lot_of(2, 3))
    client.force_login(person)
    return pavement


@pytest.fixture
def order(lot):
    keeper = lot.seats.get().organisation
    row = factories.WorkOrderFactory(
        pavement=lot, organisation=keeper, covers_all=False, rows_text="A"
    )
    for panel in lot.panels.filter(name__startswith="A"):
        row.panels.create(panel=panel)
    return row


def names_of(row):
    return sorted(row.panels.values_list("panel__name", flat=True))


def put_right(client, row, **changed):
    url = reverse("work_order_rows", args=[row.pk])
    form = client.get(url).context["form"]
    ticked = {name: [getattr(row, "pk", row) for row in form[name].value()] for name in PARTS}
    sent = {**written(form), **ticked, "why": "look at the site", **changed}
    answer = client.post(url, {name: value for name, value in sent.items() if value is not None})
    row.refresh_from_db()
    return answer


def test_rows_and_spots_are_put_right_with_a_line_of_what_they_were(client, lot, order):
    spot = lot.spots.get(name="U")
    given = {"panels": None, "rows_text": "B", "before_spots": [spot.pk]}
    answer = put_right(client, order, **given, twice=[lot.panels.get(name="B2").pk])
    assert answer.status_code == 302, wrongs(answer)
    assert names_of(order) == ["B1", "B2", "B3"]
    assert order.panels.get(is_twice=True).panel.name == "B2"
    line = JournalLine.objects.get(verb="corrected")
    assert line.changes == {
        "where": ["A1, A2, A3", "B1, B2, B3"],
        "twice": ["", "B2"],
        "before_spots": ["", "U"],
    }
    assert line.why == "look at the site"


def test_order_by_rows_becomes_one_for_the_whole_pavement(client, order):
    assert put_right(client, order, covers_all="on", panels=None).status_code == 302
    assert order.covers_all and names_of(order) == []


def test_nothing_changed_or_no_row_or_no_reason_is_refused(client, order):
    for given, words in (
        ({}, "Nothing was changed"),
        ({"panels": None}, "Say which rows"),
        ({"panels": None, "rows_text": "Q"}, "names no row"),
        ({"why": ""}, "required"),
        ({"covers_all": "on"}, "Choose one"),
    ):
        answer = put_right(client, order, **given)
        assert answer.status_code == 200 and words in str(wrongs(answer)), given
    assert names_of(order) == ["A1", "A2", "A3"]


def test_rows_changed_by_another_meanwhile_are_told_and_what_was_chosen_stays(client, lot, order):
    url = reverse("work_order_rows", args=[order.pk])
    opened = {**written(client.get(url).context["form"]), "why": "mine"}
    put_right(client, order, panels=None, rows_text="B")
    mine = {**opened, "panels": [lot.panels.get(name="A1").pk]}
    answer = client.post(url, mine)
    assert "Somebody else" in str(wrongs(answer)) and "B1, B2, B3" in str(wrongs(answer))
    form = answer.context["form"]
    assert names_of(order) == ["B1", "B2", "B3"]
    assert [int(pk) for pk in form["panels"].value()] == mine["panels"]
    again = client.post(url, {**mine, "seen": form["seen"].value()})
    assert again.status_code == 302 and names_of(order) == ["A1"]


def swept(order, *names):
    cleaning = factories.CleaningFactory(pavement=order.pavement, work_order=order, state="in_part")
    for name in names:
        cleaning.panels.create(panel=order.pavement.panels.get(name=name))
    order.state = "in_part"
    order.save(update_fields=["state"])


def test_row_that_was_swept_on_the_order_stays_on_it(client, lot, order):
    swept(order, "A1")
    refused = put_right(client, order, panels=[lot.panels.get(name="A2").pk])
    assert "Swept on this order already, so they stay on it: A1." in str(wrongs(refused))
    refused = put_right(client, order, panels=None, covers_all="on")
    assert "by their names" in str(wrongs(refused))
    kept = [lot.panels.get(name=name).pk for name in ("A1", "B1")]
    assert put_right(client, order, panels=kept).status_code == 302
    assert names_of(order) == ["A1", "B1"]


def test_rows_of_an_order_that_is_over_stay_but_its_spots_may_be_chosen(client, lot, order):
    spot = lot.spots.get(name="U")
    order.state = "accepted"
    order.save(update_fields=["state"])
    refused = put_right(client, order, panels=None, rows_text="B")
    assert "stay as they were asked" in str(wrongs(refused))
    assert names_of(order) == ["A1", "A2", "A3"]
    assert put_right(client, order, after_spots=[spot.pk]).status_code == 302
    assert list(order.after_spots.all()) == [spot]


def test_void_order_is_not_corrected(client, order):
    order.void_at, order.void_why = timezone.now(), "twice"
    order.save(update_fields=["void_at", "void_why"])
    assert "void" in str(wrongs(put_right(client, order, panels=None, rows_text="B")))
