"""Forms sent by hand, with what no browser would send."""

import pytest
from django.core import mail
from django.urls import reverse

from registry.models import (
    Cleaning,
    InfiltrationTest,
    JournalLine,
    Organisation,
    Person,
    Seat,
    Stratum,
)
from registry.models.choices import Role
from tests import factories

pytestmark = pytest.mark.django_db
HUGE = "9" * 30
"""No number of a row: SQLite has no column for it."""
CLEANING = {
    "system": "si",
    "state": "done",
    "done_on": "2025-06-01",
    "method": "broom",
    "covers_all": "on",
}
SEAT = {"role": "tester", "organisation": "Ring & Co", "email": "a@ring.example"}
RUN = {
    "system": "si",
    "started_on": "2025-06-01",
    "clock": "10:00",
    "method": "c1701",
    "run": "1",
    "ring": "305",
    "water": "18",
    "seconds": "100",
    "ended": "drained",
}


@pytest.fixture
def seat(client):
    seat = factories.SeatFactory(role=Role.OWNER)
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    return seat


def errors(answer):
    assert answer.status_code == 200
    return answer.context["form"].errors


@pytest.mark.parametrize("name", ["covered", "missed", "before_tests", "after_tests"])
@pytest.mark.parametrize("sent", [HUGE, "-" + HUGE, "\0", "²"])
def test_an_id_that_no_row_can_have_is_no_choice(client, seat, name, sent):
    factories.PanelFactory(pavement=seat.pavement)
    address = reverse("cleaning_add", args=[seat.pavement_id])
    assert name in errors(client.post(address, {**CLEANING, name: [sent]}))


def test_panels_and_tests_of_another_pavement_are_no_choice(client, seat):
    factories.PanelFactory(pavement=seat.pavement)
    other = factories.SeatFactory(organisation=seat.organisation).pavement
    panel = factories.PanelFactory(pavement=other)
    run = factories.InfiltrationTestFactory(pavement=other)
    address = reverse("cleaning_add", args=[seat.pavement_id])
    given = {"covered": [panel.pk], "missed": [panel.pk], "before_tests": [run.pk]}
    wrong = errors(client.post(address, {**CLEANING, **given}))
    assert {"covered", "missed", "before_tests"} <= set(wrong)
    assert not Cleaning.objects.exists()


def test_a_cleaning_costs_nothing_or_more(client, seat):
    address = reverse("cleaning_add", args=[seat.pavement_id])
    for sent in ("-5", "NaN", "1e400", "Infinity"):
        assert "cost" in errors(client.post(address, {**CLEANING, "cost": sent})), sent


@pytest.mark.parametrize("day", ["0001-01-01", "1899-12-31", "3000-01-01", "9999-12-31"])
def test_a_day_out_of_any_pavements_life_is_refused(client, seat, day):
    address = reverse("cleaning_add", args=[seat.pavement_id])
    sent = {**CLEANING, "done_on": day, "started_clock": "23:59"}
    assert "1900" in errors(client.post(address, sent))["done_on"][0]
    address = reverse("seat_add", args=[seat.pavement_id])
    for name in ("from_on", "last_on", "warranty_last_on"):
        wrong = errors(client.post(address, {**SEAT, "from_on": "2025-01-01", name: day}))
        assert name in wrong


def test_a_run_on_the_last_day_of_the_calendar_is_refused(client, seat):
    spot = factories.SpotFactory(pavement=seat.pavement)
    address = reverse("infiltration_test_add", args=[seat.pavement_id])
    days = {"started_on": "9999-12-31", "clock": "23:59"}
    rain = {"rain_ended_on": "9999-12-31", "rain_ended_clock": "23:59"}
    wrong = errors(client.post(address, {**RUN, "spot": spot.pk, **days, **rain}))
    assert {"started_on", "rain_ended_on"} <= set(wrong)
    assert not InfiltrationTest.objects.exists()


def test_a_name_of_two_lines_writes_no_second_header_into_a_mail(client, seat):
    address = reverse("seat_add", args=[seat.pavement_id])
    sent = {**SEAT, "organisation": "Ring\nBcc: all@town.example", "from_on": "2025-01-01"}
    assert "organisation" in errors(client.post(address, sent))
    assert not Organisation.objects.filter(name__contains="Bcc").exists()
    assert Seat.objects.get() == seat
    assert mail.outbox == []


def test_a_mail_goes_out_for_an_organisation_whose_old_name_has_two_lines(client):
    member = factories.MembershipFactory(
        organisation__name="Ring\r\nBcc: all@town.example", may_invite=True
    )
    client.force_login(member.person)
    address = reverse("invitation_add", args=[member.organisation_id])
    assert client.post(address, {"email": "new@ring.example"}).status_code == 200
    (sent,) = mail.outbox
    assert sent.bcc == []
    assert "\n" not in sent.subject


@pytest.mark.parametrize("name", ["Ann\nBcc: x", "Ann\u2028Lee", "Ann\x1bLee"])
def test_a_persons_name_is_one_line(client, name):
    link = factories.InvitationFactory(token="open sesame")
    address = reverse("invitation_accept", args=["open sesame"])
    sent = {"name": name, "password": "rain on the stone", "again": "rain on the stone"}
    assert "name" in errors(client.post(address, sent))
    assert not Person.objects.filter(email=link.email).exists()


def test_a_list_of_places_is_corrected_by_a_line(client, seat):
    row = Stratum.objects.create(
        pavement=seat.pavement, kind="wheel_path", rectangles=[[0.0, 0.0, 2.0, 3.0]]
    )
    address = reverse("entry_correct", args=["stratum", seat.pavement_id, row.pk])
    page = client.get(address).context["form"]
    sent = {"system": "si", "kind": "wheel_path", "seen": page["seen"].value()}
    answer = client.post(address, {**sent, "rectangles": "R 0-4 U 0-5", "why": "measured again"})
    assert answer.status_code == 302
    row.refresh_from_db()
    assert row.rectangles == [[0.0, 0.0, 4.0, 5.0]]
    line = JournalLine.objects.about(row).get()
    assert "3.0" in line.changes["rectangles"][0]
