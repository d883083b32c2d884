"""Work orders through their pages: asked for, moved, done by rows, turned away, checked."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from registry.gathering.order_rows import area_of_panels_m2
from registry.models import Cleaning, JournalLine, Membership, PrintedSheet, WorkOrder
from registry.units import Kind, System, show
from tests import factories
from tests.sheets import printed
from tests.sheets.rows_of_lot import lot_of
from tests.views.record import manager_of, written, wrongs

MOST_QUERIES = 12


@pytest.fixture
def lot(db, client):
    pavement, person = manager_of(lot_of(2, 3))
    client.force_login(person)
    return pavement


@pytest.fixture
def keeper(lot):
    return lot.seats.get().organisation


def panels(lot, *names):
    return [lot.panels.get(name=name).pk for name in names]


def ask(client, lot, **changed):
    url = reverse("work_order_add", args=[lot.pk])
    form = client.get(url).context["form"]
    sent = {**written(form), "do_not": ["wire_broom"], "method": "vacuum", **changed}
    return client.post(url, {name: value for name, value in sent.items() if value is not None})


def order_of(client, lot, **changed):
    answer = ask(client, lot, **changed)
    assert answer.status_code == 302, wrongs(answer)
    return WorkOrder.objects.latest("pk")


def move(client, row, to, **given):
    url = reverse("work_order_move", args=[row.pk])
    sent = {**written(client.get(url).context["form"]), "to": to, **given}
    answer = client.post(url, sent)
    row.refresh_from_db()
    return answer


def dated(client, lot, **changed):
    row = order_of(client, lot, **changed)
    move(client, row, "approved")
    answer = move(client, row, "dated", dated_for=f"{timezone.localdate():%Y-%m-%d}")
    assert row.state == "dated", wrongs(answer)
    return row


def write_done(client, row, **given):
    url = reverse("work_order_done", args=[row.pk])
    sent = written(client.get(url).context["form"])
    sent.pop("missed", None)
    answer = client.post(url, {**sent, "state": "done", **given})
    row.refresh_from_db()
    return answer


def page_of(client, name, *args):
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def test_rows_typed_and_tapped_become_panels_of_the_order(client, lot, keeper):
    tapped = {"panels": panels(lot, "B1"), "twice": panels(lot, "B1")}
    row = order_of(client, lot, covers_all=None, rows_text="A", **tapped)
    kept = {(part.panel.name, part.is_twice) for part in row.panels.all()}
    assert kept == {("A1", False), ("A2", False), ("A3", False), ("B1", True)}
    assert (row.organisation, row.do_not) == (keeper, ["wire_broom"])
    page = page_of(client, "work_order_page", row.pk)
    assert "to sweep twice" in page and "no wire broom" in page and "silica" in page


def test_wrong_rows_and_contradictions_are_told_beside_their_fields(client, lot):
    for given, name, words in (
        ({"covers_all": None}, "rows_text", "Say which rows"),
        ({"covers_all": None, "rows_text": "Q"}, "rows_text", "names no row"),
        ({"rows_text": "A"}, "covers_all", "Choose one"),
        ({"earliest_on": "2026-05-02", "latest_on": "2026-05-01"}, "latest_on", "or after it"),
        ({"notice_day": "2026-05-02"}, "notice_clock", "a day and a clock"),
        ({"method": ""}, "method", "required"),
        ({"efficiency": "65"}, "efficiency", "1"),
    ):
        answer = ask(client, lot, **given)
        assert answer.status_code == 200 and words in str(wrongs(answer)[name]), name
    assert not WorkOrder.objects.exists()


def test_link_to_the_form_fills_in_what_is_proposed(client, lot):
    url = reverse("work_order_add", args=[lot.pk])
    asked = {"method": "vacuum", "latest_on": "2026-10-01", "covers_all": "no", "rows_text": "A"}
    form = client.get(url, {**asked, "price_agreed": "1"}).context["form"]
    shown = {name: form[name].value() for name in (*asked, "price_agreed")}
    assert shown == {**asked, "covers_all": False, "price_agreed": None}


def test_order_goes_from_asked_for_to_accepted_with_every_line_on_its_page(client, lot):
    row = dated(client, lot)
    assert write_done(client, row, passes="2").status_code == 302
    cleaning = Cleaning.objects.get()
    assert (row.state, cleaning.passes, cleaning.covers_all) == ("done", 2, True)
    after = factories.InfiltrationTestFactory(pavement=lot, started_on=timezone.localdate())
    url = reverse("work_order_check", args=[row.pk])
    sent = written(client.get(url).context["form"])
    answer = client.post(url, {**sent, "verdict": "accepted", "after_tests": [after.pk]})
    assert answer.status_code == 302, wrongs(answer)
    assert list(cleaning.after_tests.all()) == [after]
    page = page_of(client, "work_order_page", row.pk)
    for words in ("asked for", "approved", "dated", "done", "checked", "accepted"):
        assert words in page


def test_rows_missed_are_left_to_do_and_done_another_day(client, lot):
    row = dated(client, lot, covers_all=None, rows_text="A")
    refused = write_done(client, row, missed=panels(lot, "A3"))
    assert "why" in str(wrongs(refused)) and not Cleaning.objects.exists()
    given = {"missed": panels(lot, "A3"), "missed_why": "car left overnight"}
    assert "done in part" in str(wrongs(write_done(client, row, **given)))
    write_done(client, row, state="in_part", **given)
    assert row.state == "in_part"
    page = page_of(client, "work_order_page", row.pk)
    assert "still to do</dt><dd>A3" in page
    left = area_of_panels_m2(lot.panels.filter(name="A3"))
    shown = show(left, Kind.AREA, System.INCH_POUND)
    assert left > 0 and f'area still to do</dt><dd class="number">{shown}' in page
    move(client, row, "dated", dated_for=f"{timezone.localdate():%Y-%m-%d}")
    offered = client.get(reverse("work_order_done", args=[row.pk])).context["form"]
    assert [choice[1] for choice in offered.fields["missed"].choices] == ["A3"]
    write_done(client, row)
    assert row.state == "done" and row.cleanings.count() == 2


def test_turned_away_is_an_event_with_its_cost_and_no_cleaning(client, lot):
    row = dated(client, lot)
    url = reverse("work_order_call_off", args=[row.pk])
    sent = written(client.get(url).context["form"])
    given = {"state": "turned_away", "who": "driver", "why": "14 cars", "cost": "350"}
    assert client.post(url, {**sent, "state": "turned_away"}).status_code == 200
    assert client.post(url, {**sent, **given, "clock": "1105"}).status_code == 302
    event = row.cleanings.get()
    assert (event.state, event.cost, event.not_done_by) == ("turned_away", 350, "driver")
    assert event.written("started_at").endswith("11:05")
    assert not Cleaning.objects.done().exists()
    shown = page_of(client, "work_order_page", row.pk)
    assert "14 cars" in shown and "The next day on which the site has hours" in shown


def test_day_in_the_future_is_not_done_yet(client, lot):
    row = dated(client, lot)
    answer = write_done(client, row, done_on="2999-01-01")
    assert "lies ahead" in str(wrongs(answer)) and row.state == "dated"


def test_way_back_needs_a_reason_and_what_may_not_follow_is_not_offered(client, lot):
    row = order_of(client, lot)
    assert "choice" in str(wrongs(move(client, row, "paid")))
    move(client, row, "approved")
    assert "Say why" in str(wrongs(move(client, row, "back-asked_for")))
    assert move(client, row, "back-asked_for", why="wrong lot").status_code == 302
    assert row.state == "asked_for"
    assert "which day" in str(wrongs(move(client, row, "dated"))) or row.state == "asked_for"


def test_correction_is_a_line_and_the_notice_has_a_clock(client, lot):
    row = order_of(client, lot, area_m2="100 m2")
    url = reverse("work_order_correct", args=[row.pk])
    sent = {**written(client.get(url).context["form"]), "do_not": ["wire_broom"]}
    given = {"area_m2": "120 m2", "notice_day": "2026-05-01", "notice_clock": "09:00"}
    answer = client.post(url, {**sent, **given, "why": "measured again"})
    assert answer.status_code == 302, wrongs(answer)
    row.refresh_from_db()
    assert row.area_m2 == pytest.approx(120) and row.notice_posted_at is not None
    changes = JournalLine.objects.corrections().get().changes
    assert set(changes) == {"area_m2", "notice_posted_at"}


@pytest.mark.parametrize(
    ("reason", "because", "words"),
    [
        ("", "last leaf is down", "<dd>last leaf is down</dd>"),
        ("permit", "twice a year", "<dd>permit asks for it: twice a year</dd>"),
        ("", "", "<dd>not filled in</dd>"),
    ],
)
def test_reason_is_told_by_what_is_written_of_it(client, lot, reason, because, words):
    row = factories.WorkOrderFactory(
        pavement=lot, organisation=lot.seats.get().organisation, reason=reason, because=because
    )
    page = client.get(reverse("work_order_page", args=[row.pk])).content.decode()
    assert f"<dt>reason</dt>{words}" in page


def test_notice_that_is_too_short_is_told_on_the_page_of_a_dated_order(client, lot):
    type(lot.site).objects.filter(pk=lot.site_id).update(notice_h=72)
    row = dated(client, lot)
    page = client.get(reverse("work_order_page", args=[row.pk])).content.decode()
    assert "No notice is written; the site asks for 72 h." in page


def test_order_is_void_with_a_reason_and_stays_readable(client, lot):
    row = order_of(client, lot)
    url = reverse("work_order_void", args=[row.pk])
    client.post(url, {"why": ""})
    row.refresh_from_db()
    assert not row.is_void
    client.post(url, {"why": "asked for twice"})
    assert "Void since" in page_of(client, "work_order_page", row.pk)
    assert row.number not in page_of(client, "work_order_list")


def test_sweeper_dates_and_does_its_order_and_sees_no_other(client, lot, keeper):
    _, person = manager_of(lot, role="sweeper")
    firm = person.organisations.get()
    row = order_of(client, lot, sweeper=firm.pk, price_agreed="380")
    other = order_of(client, lot)
    move(client, row, "approved")
    client.force_login(person)
    listed = page_of(client, "work_order_list")
    assert row.number in listed and other.number not in listed
    move(client, row, "dated", dated_for=f"{timezone.localdate():%Y-%m-%d}")
    write_done(client, row)
    assert row.state == "done"
    shown = page_of(client, "work_order_page", row.pk)
    assert "380" in shown and "Check it" not in shown
    # Tests and the action level are not shown to it: nothing is said of them, not even "not known".
    assert "an action level that your seat does not read" in shown
    assert "action level is not known" not in shown and "No test before" not in shown
    client.force_login(Membership.objects.get(organisation=keeper).person)
    told = page_of(client, "work_order_page", row.pk)
    assert "your seat does not read" not in told and "No test before or after" in told


def test_sheet_is_printed_with_its_number_and_kept(client, lot):
    row = order_of(client, lot, covers_all=None, rows_text="A", price_agreed="380")
    url = reverse("work_order_sheet", args=[row.pk])
    answer = client.post(url, {"paper": "letter", "system": "inch_pound"})
    assert answer["Content-Type"] == "application/pdf"
    page = printed.words(answer.content)[0]
    assert f"order no. {row.number}" in page and "SWP-0001" in page and "380" in page
    sheet = PrintedSheet.objects.get()
    assert (sheet.kind, sheet.content["order"]) == ("sweep", row.number)
    assert client.get(reverse("sheet_page", args=["SWP-0001"])).status_code == 200


def test_list_is_narrowed_by_state_crew_day_and_text(client, lot, keeper):
    crew = factories.CrewFactory(organisation=keeper)
    given = {"pavement": lot, "organisation": keeper}
    day = date(2026, 5, 4)
    factories.WorkOrderFactory(number="one", state="dated", dated_for=day, crew=crew, **given)
    factories.WorkOrderFactory(number="two", state="paid", because="after sand", **given)
    url = reverse("work_order_list")
    for asked, found in (
        ({}, {"one", "two"}),
        ({"stage": "open"}, {"one"}),
        ({"stage": "ended"}, {"two"}),
        ({"state": "paid"}, {"two"}),
        ({"crew": crew.pk}, {"one"}),
        ({"from_day": "2026-05-04", "to_day": "2026-05-04"}, {"one"}),
        ({"from_day": "2026-05-05"}, set()),
        ({"text": "sand"}, {"two"}),
        ({"crew": "none", "state": "flying", "from_day": "soon", "sort": "?"}, {"one", "two"}),
        ({"text": "a\0b"}, {"one", "two"}),  # refused beside the field, and all is shown
    ):
        answer = client.get(url, asked)
        assert answer.status_code == 200
        assert {row.number for row in answer.context["page"].object_list} == found, asked


def queries(client, name, *args):
    client.get(reverse(name, args=args))
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert client.get(reverse(name, args=args)).status_code == 200
    return len(asked)


def test_list_asks_as_much_for_one_order_as_for_twenty_more(client, lot, keeper):
    given = {"organisation": keeper, "sweeper": keeper}
    crew = factories.CrewFactory(organisation=keeper)
    factories.WorkOrderFactory(pavement=lot, crew=crew, **given)
    before = queries(client, "work_order_list")
    for _ in range(20):
        other, _person = manager_of()
        factories.SeatFactory(pavement=other, organisation=keeper, role="manager")
        crew = factories.CrewFactory(organisation=keeper)
        factories.WorkOrderFactory(pavement=other, crew=crew, **given)
    assert queries(client, "work_order_list") == before <= MOST_QUERIES


def test_page_asks_as_much_for_one_event_as_for_twenty_more(client, lot):
    row = dated(client, lot, covers_all=None, rows_text="A")
    factories.CleaningFactory(pavement=lot, work_order=row)
    before = queries(client, "work_order_page", row.pk)
    for _ in range(20):
        factories.CleaningFactory(pavement=lot, work_order=row)
    for nth in range(20):
        beside = {"right_m": 100.0, "up_m": 10.0 * nth}
        panel = factories.PanelFactory(pavement=lot, name=f"M{nth + 1}", **beside)
        row.panels.create(panel=panel)
    assert queries(client, "work_order_page", row.pk) == before <= MOST_QUERIES


def test_form_that_could_not_be_stored_is_not_opened(client, lot):
    row = order_of(client, lot)
    for name in ("work_order_done", "work_order_call_off", "work_order_check"):
        answer = client.get(reverse(name, args=[row.pk]), follow=True)
        told = " ".join(str(message) for message in answer.context["messages"])
        assert answer.redirect_chain and f"Order {row} is asked for." in told, name


def test_what_is_open_comes_first_on_the_list(client, lot, keeper):
    given = {"pavement": lot, "organisation": keeper}
    old = date(2020, 5, 4)
    factories.WorkOrderFactory(number="paid", state="paid", dated_for=old, **given)
    factories.WorkOrderFactory(number="done", state="done", dated_for=old, **given)
    factories.WorkOrderFactory(number="asked", state="asked_for", **given)
    rows = client.get(reverse("work_order_list")).context["page"].object_list
    assert [row.number for row in rows] == ["asked", "done", "paid"]


def test_tests_after_are_told_by_spot_day_and_rate(client, lot):
    row = dated(client, lot)
    write_done(client, row)
    spot = lot.spots.get(name="U")
    today = timezone.localdate()
    factories.InfiltrationTestFactory(
        pavement=lot, spot=spot, started_on=today, result_rate_mm_h=254.0
    )
    page = page_of(client, "work_order_check", row.pk)
    assert f"U, {today:%Y-%m-%d}, 10 in/h" in " ".join(page.split())
