"""Printing sheets through their pages, and what the square of dots opens."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import InfiltrationTest, JournalLine, PrintedSheet
from tests import factories
from tests.placing_factories import PlacingDayFactory
from tests.sheets import printed
from tests.sheets.rows_of_lot import lot_of

GIVEN = {"kind": "infiltration", "paper": "letter", "system": "inch_pound", "filled": "filled"}


@pytest.fixture
def seat(db):
    firm = factories.MembershipFactory().organisation
    return factories.SeatFactory(role="manager", organisation=firm, pavement=lot_of())


@pytest.fixture
def signed_in(client, seat):
    client.force_login(seat.organisation.people.get())
    return client


def post(client, seat, **changed):
    return client.post(reverse("sheet_print", args=[seat.pavement_id]), {**GIVEN, **changed})


def sheet_of(seat, number="INF-0001", **fields):
    given = {"kind": "infiltration", "system": "inch_pound", "paper": "letter"}
    pavement = seat.pavement if seat else None
    return PrintedSheet.objects.create(number=number, pavement=pavement, **{**given, **fields})


def typed(seat, spot="U", minutes=0, **fields):
    return factories.InfiltrationTestFactory(
        pavement=seat.pavement,
        spot=seat.pavement.spots.get(name=spot),
        sheet_number="INF-0001",
        entered_at=datetime(2026, 5, 20, 9, minutes, tzinfo=UTC),
        entered_for=seat.organisation,
        **fields,
    )


def test_the_form_offers_the_pavements_units_and_writes_nothing(signed_in, seat):
    page = signed_in.get(reverse("sheet_print", args=[seat.pavement_id]))
    assert page.status_code == 200
    assert page.context["form"]["system"].value() == "inch_pound"
    assert page.context["form"]["paper"].value() == "letter"
    assert not PrintedSheet.objects.exists()


def test_printing_answers_the_pdf_and_writes_the_record(signed_in, seat):
    factories.NumberFactory(pavement=seat.pavement, organisation=seat.organisation, number="BC-01")
    answer = post(signed_in, seat)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="INF-0001.pdf"'
    page = printed.words(answer.content)[0]
    assert "own no. BC-01" in page and "sheet INF-0001" in page
    row = PrintedSheet.objects.get()
    assert (row.pavement, row.printed_by) == (seat.pavement, seat.organisation.people.get())
    assert row.plan.number == 2
    assert JournalLine.objects.get(verb="printed").by_organisation == seat.organisation


def test_a_blank_sheet_belongs_to_no_pavement(signed_in, seat):
    answer = post(signed_in, seat, filled="blank")
    assert "North lot" not in printed.words(answer.content)[0]
    assert PrintedSheet.objects.get().pavement is None
    assert signed_in.get(reverse("sheet_page", args=["INF-0001"])).status_code == 200


def test_paper_and_units_are_as_chosen(signed_in, seat):
    answer = post(signed_in, seat, kind="inspection", paper="a4", system="si")
    assert printed.paper_mm(answer.content)[0] == pytest.approx((210, 297), abs=0.01)
    assert "°C" in printed.words(answer.content)[0]


def test_a_kind_that_cannot_be_printed_is_not_offered(signed_in, seat):
    answer = post(signed_in, seat, kind="sweep")
    assert answer.status_code == 200
    assert "kind" in answer.context["form"].errors
    assert not PrintedSheet.objects.exists()


def test_a_broken_plan_is_told_on_the_form_and_takes_no_number(signed_in, seat):
    factories.PanelFactory(pavement=seat.pavement, name="Z1", right_m=0.5, up_m=0.5)
    answer = post(signed_in, seat, kind="inspection")
    assert answer.status_code == 200
    assert "lie on each other" in str(answer.context["form"].non_field_errors())
    assert not PrintedSheet.objects.exists()


def test_a_seat_that_may_not_print_is_refused_and_a_stranger_sees_nothing(client, seat):
    sweeper = factories.SeatFactory(
        pavement=seat.pavement,
        role="sweeper",
        organisation=factories.MembershipFactory().organisation,
    )
    client.force_login(sweeper.organisation.people.get())
    assert post(client, seat).status_code == 403
    sheet_of(seat)
    client.force_login(factories.PersonFactory())
    assert post(client, seat).status_code == 404
    assert client.get(reverse("sheet_page", args=["INF-0001"])).status_code == 404


def test_anybody_signed_in_prints_a_blank_sheet(client, db):
    person = factories.PersonFactory(shown_system="si")
    client.force_login(person)
    assert client.get(reverse("sheet_blank")).context["form"]["paper"].value() == "a4"
    given = {key: value for key, value in GIVEN.items() if key != "filled"}
    answer = client.post(reverse("sheet_blank"), given)
    assert answer["Content-Type"] == "application/pdf"
    assert PrintedSheet.objects.get().printed_by == person
    assert client.get(reverse("sheet_page", args=["INF-0001"])).status_code == 200
    client.force_login(factories.PersonFactory())
    assert client.get(reverse("sheet_page", args=["INF-0001"])).status_code == 404


@pytest.mark.parametrize("kind", ["inspection", "infiltration"])
def test_the_dots_open_the_pavement_which_leads_to_the_sheet(signed_in, seat, kind):
    sheet_of(seat, "INS-0417", kind=kind)
    answer = signed_in.get("/sheets/INS-0417/open/", follow=True)
    assert answer.redirect_chain[-1][0].startswith(f"/pavements/{seat.pavement_id}/")
    assert 'href="/sheets/INS-0417/"' in answer.content.decode()


def test_the_dots_of_a_sheet_of_no_pavement_alone_open_the_sheet(signed_in, seat):
    post(signed_in, seat, filled="blank")
    answer = signed_in.get("/sheets/INF-0001/open/")
    assert answer["Location"] == "/sheets/INF-0001/"


def test_pavement_opened_from_what_is_no_sheet_number_names_none(signed_in, seat):
    address = reverse("pavement_page", args=[seat.pavement_id])
    page = signed_in.get(address, {"sheet": "call 555-0100"}).content.decode()
    assert "/sheets/call" not in page


def test_the_sheets_page_opens_the_pavement_and_says_what_was_printed(signed_in, seat):
    post(signed_in, seat)
    page = signed_in.get("/sheets/INF-0001/").content.decode()
    assert reverse("pavement_page", args=[seat.pavement_id]) in page
    assert "D6 · 6.0 R · 6.0 U" in page
    assert "North lot, 14 Canal St" in page
    assert "ft, in, lb" in page
    assert "Nothing typed in from this sheet yet" in page


def test_a_number_leads_to_its_sheet_however_it_is_typed(signed_in, seat):
    sheet_of(seat)
    answer = signed_in.get(reverse("sheet_list"), {"number": " inf-0001"})
    assert answer.url == reverse("sheet_page", args=["INF-0001"])
    page = signed_in.get(reverse("sheet_list"), {"number": "INF-0099"})
    assert "No sheet INF-0099" in page.content.decode()
    page = signed_in.get(reverse("sheet_list"), {"number": "417"})
    assert "No sheet 417 of a pavement that you may see. A number looks like INS-0417" in (
        page.content.decode()
    )


def test_a_stranger_does_not_learn_that_a_number_exists(client, seat):
    sheet_of(seat)
    client.force_login(factories.PersonFactory())
    page = client.get(reverse("sheet_list"), {"number": "INF-0001"}).content.decode()
    assert "No sheet INF-0001" in page


def test_the_list_asks_as_often_for_many_sheets_as_for_few(signed_in, seat):
    sheet_of(seat)
    counts = []
    for rows in (0, 20):
        for nth in range(rows):
            sheet_of(seat, f"INF-01{nth:02d}")
        with CaptureQueriesContext(connection) as queries:
            signed_in.get(reverse("sheet_list"))
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_case_56_a_sheet_typed_in_twice_shows_it_with_its_differences(signed_in, seat):
    sheet_of(seat)
    typed(seat, seconds=123.4, as_written={"seconds": "2:03.4"})
    typed(seat, seconds=132.4, as_written={"seconds": "2:12.4"}, minutes=30)
    typed(seat, spot="W", minutes=31)
    page = signed_in.get(reverse("sheet_page", args=["INF-0001"]))
    ((pair, may_hold),) = page.context["twice"]
    assert may_hold and not pair.is_held
    assert [(d.name, d.first, d.second) for d in pair.differences] == [
        ("time, s", "2:03.4", "2:12.4")
    ]
    assert "was typed in twice from this sheet" in page.content.decode()


def test_case_56_the_second_is_held_as_a_double_and_both_stay_readable(signed_in, seat):
    sheet_of(seat)
    first, second = typed(seat), typed(seat, minutes=30, water=40.04)
    answer = signed_in.post(reverse("sheet_hold_double", args=["INF-0001", second.pk]))
    assert answer.url == reverse("sheet_page", args=["INF-0001"])
    second.refresh_from_db()
    assert second.double_of == first
    assert InfiltrationTest.objects.standing().get() == first
    line = JournalLine.objects.get(verb="double of")
    assert line.why == "sheet INF-0001 typed in twice"
    page = signed_in.get(answer.url).content.decode()
    assert "the second is held as a double" in page and "40.04" in page
    assert "Hold the second" not in page


def test_a_run_that_came_in_once_cannot_be_held_as_a_double(signed_in, seat):
    sheet_of(seat)
    only = typed(seat)
    page = signed_in.post(
        reverse("sheet_hold_double", args=["INF-0001", only.pk]), follow=True
    ).content.decode()
    assert "was not typed in twice" in page
    only.refresh_from_db()
    assert only.double_of is None


def test_two_runs_of_a_day_are_no_doubles(signed_in, seat):
    sheet_of(seat)
    typed(seat, run=1)
    typed(seat, run=2, minutes=5)
    page = signed_in.get(reverse("sheet_page", args=["INF-0001"]))
    assert page.context["twice"] == []


def test_the_older_sheets_of_a_pavement_are_listed_when_printing(signed_in, seat):
    sheet_of(seat, printed_at=datetime.now(UTC) - timedelta(days=40))
    page = signed_in.get(reverse("sheet_print", args=[seat.pavement_id])).content.decode()
    assert reverse("sheet_page", args=["INF-0001"]) in page


def test_typing_in_from_a_sheet_starts_with_its_number(signed_in, seat):
    sheet_of(seat)
    page = signed_in.get(reverse("sheet_page", args=["INF-0001"])).content.decode()
    link = f"{reverse('infiltration_test_add', args=[seat.pavement_id])}?sheet=INF-0001"
    assert link in page
    assert signed_in.get(link).context["form"]["sheet_number"].value() == "INF-0001"


def test_a_sheet_is_listed_and_opened_only_where_what_is_on_it_is_seen(client, seat):
    """A town lists and opens no load sheet, cover card or dossier, and is named no such number."""
    day = PlacingDayFactory(pavement=seat.pavement)
    town = factories.SeatFactory(
        pavement=seat.pavement,
        role="municipality",
        organisation=factories.MembershipFactory().organisation,
    )
    sheet_of(seat)
    for number, kind, content in (
        ("LOD-0001", "load", {"placing_day": day.pk}),
        ("COV-0001", "cover", {"placing_day": day.pk}),
        ("DOS-0001", "dossier", {}),
    ):
        sheet_of(seat, number, kind=kind, content=content)
    client.force_login(town.organisation.people.get())
    for page in (reverse("sheet_list"), reverse("sheet_print", args=[seat.pavement_id])):
        text = client.get(page).content.decode()
        assert "INF-0001" in text
        assert not any(number in text for number in ("LOD-0001", "COV-0001", "DOS-0001"))
    assert client.get(reverse("sheet_page", args=["COV-0001"])).status_code == 404
    text = client.get(reverse("sheet_list"), {"number": "1"}).content.decode()
    assert "INF-0001, infiltration" in text.replace("</a>", "") and "COV-0001" not in text


def test_sheets_of_many_pavements_take_as_many_questions_as_of_one(client, seat):
    person = seat.organisation.people.get()
    client.force_login(person)
    counts = []
    for rows in (1, 6):
        for nth in range(rows):
            own = factories.SeatFactory(organisation=seat.organisation, role="contractor")
            day = PlacingDayFactory(pavement=own.pavement)
            on_it = {"kind": "load", "content": {"placing_day": day.pk}}
            sheet_of(own, f"LOD-{rows}{nth:03d}", **on_it)
        with CaptureQueriesContext(connection) as queries:
            text = client.get(reverse("sheet_list")).content.decode()
        assert f"LOD-{rows}{nth:03d}" in text
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 12
