"""Pages of seats: list, appoint, end; of a sale and of a split."""

from datetime import date, timedelta

import pytest
from django.core import mail
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from registry.models import DirtSource, Organisation, Pavement, PavementNumber, Seat
from registry.models.choices import Role
from tests.factories import (
    InfiltrationTestFactory,
    MembershipFactory,
    OrganisationFactory,
    PanelFactory,
    PavementFactory,
    SeatFactory,
    SiteFactory,
    WorkOrderFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return SeatFactory(role=Role.OWNER)


def enter(client, seat):
    person = MembershipFactory(organisation=seat.organisation).person
    client.force_login(person)
    return person


def appoint(client, seat, **data):
    given = {"role": "tester", "organisation": "Ring & Co", "from_on": "2024-03-10"}
    return client.post(reverse("seat_add", args=[seat.pavement_id]), {**given, **data}, follow=True)


def test_list_shows_times_by_the_clock_at_the_site(client, owner):
    enter(client, owner)
    page = client.get(reverse("seat_list", args=[owner.pavement_id])).content.decode()
    assert "2014-12-31 19:00" in page
    assert owner.organisation.name in page
    assert f"<h1>{owner.pavement.name}</h1>" in page


def test_list_asks_the_database_as_often_for_many_seats_as_for_one(client, owner):
    enter(client, owner)
    address = reverse("seat_list", args=[owner.pavement_id])
    counts = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as asked:
            client.get(address)
        counts.append(len(asked))
        SeatFactory.create_batch(20, pavement=owner.pavement, role=Role.TESTER)
    assert counts[0] == counts[1]


def test_appointed_tester_sits_there_from_the_first_minute_of_the_day_at_the_site(client, owner):
    enter(client, owner)
    tester = OrganisationFactory(name="Ring & Co")
    appoint(client, owner, organisation="ring & co", last_on="2024-03-10")
    seat = Seat.objects.get(role=Role.TESTER)
    assert seat.organisation == tester
    assert seat.from_at.isoformat() == "2024-03-10T05:00:00+00:00"
    assert seat.to_at.isoformat() == "2024-03-11T04:00:00+00:00"  # clocks were set on that day
    assert seat.appointed_by == owner.organisation


def test_organisation_that_is_not_here_is_asked_for_and_then_invited(client, owner):
    enter(client, owner)
    assert "No organisation here is called" in appoint(client, owner).content.decode()
    assert not Organisation.objects.filter(name="Ring & Co").exists()
    page = appoint(client, owner, email="ring@example.org")
    assert page.context["issued"].link in page.content.decode()
    assert [m.to for m in mail.outbox] == [["ring@example.org"]]
    assert Seat.objects.get(role=Role.TESTER).organisation.name == "Ring & Co"


@pytest.mark.parametrize("role", ["owner", "municipality"])
def test_page_offers_no_seat_that_nobody_gives(client, owner, role):
    enter(client, owner)
    OrganisationFactory(name="Ring & Co")
    appoint(client, owner, role=role)
    assert Seat.objects.count() == 1


def test_manager_does_not_appoint_a_manager(client, owner):
    enter(client, SeatFactory(pavement=owner.pavement, role=Role.MANAGER))
    OrganisationFactory(name="Ring & Co")
    appoint(client, owner, role="manager")
    assert Seat.objects.filter(role=Role.MANAGER).count() == 1


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"last_on": "2024-03-09"}, "comes before the first"),
        ({"warranty_last_on": "2030-01-01"}, "Only a contractor"),
        ({"from_on": "03/04/2024"}, "Write year-month-day"),
    ],
)
def test_what_cannot_be_is_said_in_plain_words(client, owner, data, said):
    enter(client, owner)
    OrganisationFactory(name="Ring & Co")
    assert said in appoint(client, owner, **data).content.decode()
    assert Seat.objects.count() == 1


def test_section_of_another_pavement_cannot_be_chosen(client, owner):
    enter(client, owner)
    OrganisationFactory(name="Ring & Co")
    other = PavementFactory().sections.create(name="X")
    owner.pavement.sections.create(name="Y")
    appoint(client, owner, section=other.pk)
    assert Seat.objects.count() == 1


def test_ending_a_seat_needs_a_reason_and_a_press(client, owner):
    enter(client, owner)
    seat = SeatFactory(pavement=owner.pavement, role=Role.TESTER)
    address = reverse("seat_end", args=[seat.pk])
    client.get(address)
    client.post(address, {"why": ""})
    assert Seat.objects.get(pk=seat.pk).is_open
    client.post(address, {"why": "work done"})
    assert not Seat.objects.get(pk=seat.pk).is_open


def test_tester_gives_up_its_own_seat_and_no_other(client, owner):
    mine, other = (SeatFactory(pavement=owner.pavement, role=Role.TESTER) for _ in range(2))
    enter(client, mine)
    assert client.post(reverse("seat_end", args=[other.pk]), {"why": "x"}).status_code == 403
    assert client.post(reverse("seat_end", args=[owner.pk]), {"why": "x"}).status_code == 403
    client.post(reverse("seat_end", args=[mine.pk]), {"why": "too far"})
    assert not Seat.objects.get(pk=mine.pk).is_open


def sell(client, pavement, **data):
    given = {
        "buyer": "Buyer",
        "sold_on": "2024-06-03",
        "sold_clock": "14:00",
        "fold": "",
        "document": "deed 77",
    }
    return client.post(reverse("pavement_sell", args=[pavement.pk]), {**given, **data}, follow=True)


def test_seller_writes_nothing_after_the_hour_and_keeps_its_copy(client, owner):
    enter(client, owner)
    OrganisationFactory(name="Buyer")
    page = sell(client, owner.pavement)
    assert "Buyer owns it from that hour" in page.content.decode()
    assert client.get(reverse("pavement_page", args=[owner.pavement_id])).status_code == 200
    for name in ("infiltration_test_add", "cleaning_add", "seat_add", "pavement_sell"):
        assert client.post(reverse(name, args=[owner.pavement_id])).status_code == 403


def test_open_work_orders_are_named_before_a_sale_and_no_settled_one(client, owner):
    enter(client, owner)
    WorkOrderFactory(pavement=owner.pavement, number="W-1", state="approved")
    day = date(2024, 6, 20)
    WorkOrderFactory(pavement=owner.pavement, number="W-2", state="dated", dated_for=day)
    WorkOrderFactory(pavement=owner.pavement, number="W-3", state="dropped")
    WorkOrderFactory(number="W-4")
    page = client.get(reverse("pavement_sell", args=[owner.pavement_id]))
    told = " ".join(page.content.decode().split())
    assert "W-1</a>, full vacuum sweeper, approved</li>" in told
    assert "W-2</a>, full vacuum sweeper, dated for 2024-06-20</li>" in told
    assert "W-3" not in told and "W-4" not in told


def test_every_open_item_stands_in_the_form_and_has_to_be_settled(client, owner):
    enter(client, owner)
    OrganisationFactory(name="Buyer")
    dirt = DirtSource.objects.create(pavement=owner.pavement, kind="bed")
    page = sell(client, owner.pavement).content.decode()
    assert "Source of dirt: bed above" in page
    assert Seat.objects.filter(role=Role.OWNER).count() == 1
    sell(
        client,
        owner.pavement,
        **{f"dirt-{dirt.pk}-what": "taken_over", f"dirt-{dirt.pk}-who": "Ann"},
    )
    assert Seat.objects.filter(role=Role.OWNER).count() == 2


def test_seat_of_another_pavement_cannot_be_kept(client, owner):
    enter(client, owner)
    OrganisationFactory(name="Buyer")
    SeatFactory(pavement=owner.pavement, role=Role.MANAGER)
    other = SeatFactory(role=Role.MANAGER)
    sell(client, owner.pavement, kept=[other.pk])
    assert Seat.objects.filter(role=Role.OWNER).count() == 1


def test_hour_that_comes_twice_is_asked(client, owner):
    enter(client, owner)
    OrganisationFactory(name="Buyer")
    night = {"sold_on": "2024-11-03", "sold_clock": "01:30"}
    assert "came twice" in sell(client, owner.pavement, **night).content.decode()
    sell(client, owner.pavement, **night, fold="second")
    sold = Seat.objects.get(organisation__name="Buyer")
    assert sold.from_at.isoformat() == "2024-11-03T06:30:00+00:00"


def test_hour_that_never_was_is_refused(client, owner):
    enter(client, owner)
    OrganisationFactory(name="Buyer")
    page = sell(client, owner.pavement, sold_on="2024-03-10", sold_clock="02:30")
    assert "never was" in page.content.decode()
    assert Seat.objects.count() == 1


def test_hour_is_read_by_the_clock_at_the_site_wherever_people_are(client):
    """Case: people in two time zones, the record kept in a third."""
    owner = SeatFactory(pavement__site=SiteFactory(time_zone="America/Denver"))
    enter(client, owner)
    OrganisationFactory(name="Buyer")
    sell(client, owner.pavement)
    assert Seat.objects.get(pk=owner.pk).to_at.isoformat() == "2024-06-03T20:00:00+00:00"


def test_town_does_not_learn_by_a_sale_what_was_not_submitted_to_it(client, owner):
    enter(client, SeatFactory(pavement=owner.pavement, role=Role.MUNICIPALITY))
    OrganisationFactory(name="Buyer")
    planned = InfiltrationTestFactory(pavement=owner.pavement, state="planned")
    page = sell(client, owner.pavement).content.decode()
    assert "The owner has to enter this sale" in page
    assert str(planned.spot) not in page
    planned.delete()
    sell(client, owner.pavement)
    assert Seat.objects.filter(role=Role.OWNER).count() == 2


def test_pavement_is_split_by_its_panels(client, owner):
    enter(client, owner)
    first, second = (PanelFactory(pavement=owner.pavement, name=n) for n in ("A1", "A2"))
    data = {"first": "North", "second": "South", "on": "2024-06-03", "why": "plat 9"}
    address = reverse("pavement_split", args=[owner.pavement_id])
    assert "required" in client.post(address, data).content.decode()
    one = {"panels": [first.pk], "first_number": "10A", "second_number": "10A"}
    assert "give each its own" in client.post(address, {**data, **one}).content.decode()
    client.post(address, {**data, **one, "second_number": "10B"})
    numbers = PavementNumber.objects.values_list("pavement__name", "number", "organisation")
    whose = owner.organisation_id
    assert set(numbers) == {("North", "10A", whose), ("South", "10B", whose)}
    parts = Pavement.objects.filter(parent=owner.pavement)
    panels = {part.name: [p.name for p in part.panels.all()] for part in parts}
    assert panels == {"North": ["A1"], "South": ["A2"]}
    assert second.name == "A2"


def test_without_panels_the_area_is_asked_in_ones_own_units(client, owner):
    enter(client, owner)
    data = {"first": "North", "second": "South", "on": "2024-06-03", "why": "plat 9"}
    address = reverse("pavement_split", args=[owner.pavement_id])
    assert "Give the area" in client.post(address, {**data, "area": "nk"}).content.decode()
    client.post(address, {**data, "area": "500"})
    north = Pavement.objects.get(name="North")
    assert north.area_m2 == pytest.approx(500 * 0.09290304)


def test_contractors_view_closes_the_day_after_its_warranty(client, owner):
    last = timezone.now().date() - timedelta(days=2)
    seat = SeatFactory(pavement=owner.pavement, role=Role.CONTRACTOR, warranty_last_on=last)
    row = InfiltrationTestFactory(pavement=owner.pavement, reason="yearly")
    enter(client, seat)
    address = reverse("infiltration_test_page", args=[row.pk])
    assert client.get(address).status_code == 404
    Seat.objects.filter(pk=seat.pk).update(warranty_last_on=last + timedelta(days=9))
    assert client.get(address).status_code == 200
