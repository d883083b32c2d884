"""The sheet of a work order that came back, copied in through its page."""

import pytest
from django.urls import reverse

from registry.models import Cleaning, PrintedSheet, SheetCopy
from registry.views.pavement import local_today
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
    row = factories.WorkOrderFactory(
        pavement=lot, organisation=lot.seats.get().organisation, covers_all=False, rows_text="A",
        method="vacuum", state="dated", dated_for=local_today(lot),
    )  # fmt: skip
    row.moves.create(to_state="dated", on=row.dated_for, dated_for=row.dated_for)
    for panel in lot.panels.filter(name__startswith="A"):
        row.panels.create(panel=panel)
    return row


@pytest.fixture
def sheet(client, order):
    url = reverse("work_order_sheet", args=[order.pk])
    client.post(url, {"paper": "letter", "system": "inch_pound"})
    return PrintedSheet.objects.get()


def copy_in(client, sheet, **given):
    url = reverse("sweep_copy_in", args=[sheet.number])
    sent = written(client.get(url).context["form"])
    for name in ("missed", "before_tests", "after_tests"):
        sent.pop(name, None)
    on = f"{local_today(sheet.pavement):%Y-%m-%d}"
    return client.post(url, {**sent, "done_on": on, **given})


def done(client, sheet, **given):
    return copy_in(client, sheet, **{"state": "done", "operator": "R. Vale", **given})


def test_sheet_makes_the_cleaning_of_its_order_in_its_own_units(client, order, sheet):
    answer = done(
        client, sheet, arrive_clock="0650", started_clock="0710", ended_clock="0930",
        leave_clock="10:05", surface="dry", rain_in_24_h="no", area_m2="4320", passes="2",
        debris_m3="1.7", debris_wet="dry", stone_in_hopper="no", photos_after="31-33",
        invoice_words="441",
    )  # fmt: skip
    assert answer.status_code == 302, wrongs(answer)
    order.refresh_from_db()
    row = Cleaning.objects.get()
    assert (order.state, row.work_order, row.sheet_number) == ("done", order, sheet.number)
    assert row.source == "paper" and row.hours_on_site == pytest.approx(3.25)
    assert row.area_m2 == pytest.approx(4320 * 0.3048**2)
    assert row.debris_m3 == pytest.approx(1.7 * 0.9144**3)
    assert row.last_rain == "in the last 24 h: no"
    assert row.note == (
        "Photos after: 31-33. Stone or joint material in the hopper: no. Invoice no.: 441."
    )
    copy = SheetCopy.objects.get()
    assert (copy.cleaning, copy.is_double) == (row, False)
    assert copy.typed["Done: operator"] == "R. Vale"


def test_rows_not_done_keep_their_last_cleaning(client, lot, order, sheet):
    missed = [lot.panels.get(name="A3").pk]
    refused = done(client, sheet, state="in_part", missed=missed)
    assert "Say why" in str(wrongs(refused)) and not Cleaning.objects.exists()
    done(client, sheet, state="in_part", missed=missed, missed_why="car left overnight")
    order.refresh_from_db()
    assert order.state == "in_part"
    assert Cleaning.objects.get().panels.get(is_missed=True).panel.name == "A3"


@pytest.mark.parametrize(
    ("tick", "state", "why"),
    [
        ("not_turned_away", "turned_away", "turned away by the porter"),
        ("not_weather", "called_off", "weather"),
        ("not_machine", "called_off", "machine"),
    ],
)
def test_not_done_is_an_event_with_who_clock_and_call_out(client, order, sheet, tick, state, why):
    nobody = copy_in(client, sheet, state=tick)
    assert "Say who" in str(wrongs(nobody)) and not Cleaning.objects.exists()
    given = {"not_done_by": "the porter", "not_done_clock": "0715", "call_out": "yes"}
    answer = copy_in(client, sheet, state=tick, cost="350", **given)
    assert answer.status_code == 302, wrongs(answer)
    order.refresh_from_db()
    row = Cleaning.objects.get()
    assert (order.state, row.state, row.why_not, row.cost) == (state, state, why, 350)
    assert row.written("started_at").endswith("07:15") and row.note == "Call-out: yes."
    assert not Cleaning.objects.done().exists()


def test_second_copy_is_held_as_a_double_and_changes_nothing(client, order, sheet):
    address = reverse("sweep_copy_in", args=[sheet.number])
    assert "copied in already" not in client.get(address).content.decode()
    done(client, sheet, passes="2")
    assert "copied in already" in client.get(address).content.decode()
    answer = done(client, sheet, passes="3", operator="r. vale")
    double = SheetCopy.objects.get(is_double=True)
    assert answer.url == reverse("sheet_copy_page", args=[sheet.number, double.pk])
    assert double.differences == [["Done: passes per row", "2", "3"]]
    assert Cleaning.objects.count() == 1 and Cleaning.objects.get().passes == 2
    page = client.get(answer.url).content.decode()
    assert "held as a double" in page and "passes per row" in page
    listed = client.get(reverse("sheet_page", args=[sheet.number])).content.decode()
    assert "second copy, 1 difference" in listed


def test_second_copy_that_nobody_can_read_is_held_too(client, order, sheet):
    done(client, sheet)
    done(client, sheet, started_clock="half past", area_m2="a lot")
    typed = SheetCopy.objects.get(is_double=True).typed
    assert typed["Done: area done"] == "a lot"


def test_void_cleaning_makes_room_for_the_sheet_to_be_copied_in_anew(client, order, sheet):
    done(client, sheet)
    row = Cleaning.objects.get()
    client.post(reverse("cleaning_void", args=[row.pk]), {"why": "typed from another sheet"})
    url = reverse("work_order_move", args=[order.pk])
    sent = written(client.get(url).context["form"])
    client.post(url, {**sent, "to": "back-dated", "why": "typed from another sheet"})
    answer = done(client, sheet, passes="3")
    assert answer.status_code == 302, wrongs(answer)
    assert Cleaning.objects.standing().get().passes == 3
    assert SheetCopy.objects.filter(is_double=False).count() == 1


def test_order_that_cannot_take_it_says_so_and_keeps_what_was_typed(client, order, sheet):
    order.state, order.dated_for = "approved", None
    order.save(update_fields=["state", "dated_for"])
    answer = done(client, sheet)
    assert answer.status_code == 200 and wrongs(answer)
    assert answer.context["form"]["operator"].value() == "R. Vale"
    assert not SheetCopy.objects.exists() and not Cleaning.objects.exists()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"done_on": "2999-01-01"}, "lies ahead"),
        ({"arrive_clock": "0900", "leave_clock": "0800"}, "leaves after it arrives"),
        ({"arrive_clock": "25:70"}, "clock"),
        ({"state": ""}, "required"),
    ],
)
def test_what_cannot_be_is_told_beside_its_place(client, order, sheet, given, words):
    answer = done(client, sheet, **given)
    assert words in str(wrongs(answer)) and not SheetCopy.objects.exists()


def test_sheet_printed_blank_sends_to_the_order(client, lot, db):
    person = lot.seats.get().organisation.people.get()
    PrintedSheet.objects.create(
        number="SWP-0777", kind="sweep", system="si", paper="a4", printed_by=person
    )
    answer = client.get(reverse("sweep_copy_in", args=["SWP-0777"]), follow=True)
    told = [str(message) for message in answer.context["messages"]]
    assert "names no work order" in told[0]


def test_sheets_page_leads_to_the_form_and_the_form_is_in_the_order_of_the_sheet(
    client, order, sheet
):
    page = client.get(reverse("sheet_page", args=[sheet.number])).content.decode()
    address = reverse("sweep_copy_in", args=[sheet.number])
    assert address in page and order.number in page
    form = client.get(address).context["form"]
    names = [field.name for _, fields in form.blocks for field in fields]
    wanted = ["done_on", "arrive_clock", "operator", "surface", "missed", "area_m2", "debris_m3"]
    assert [name for name in names if name in wanted] == wanted
    assert set(names) == {field.name for field in form if field.name != "seen"}
