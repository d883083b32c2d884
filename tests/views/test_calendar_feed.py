"""Feeds through their pages: made, shown once, fetched without a session, taken back."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from registry.actions.count_feed_fetch import MOST, WINDOW
from registry.models import CalendarFeed, JournalLine, digest_of
from registry.models.choices import Role
from tests.factories import (
    CalendarFeedFactory,
    CrewFactory,
    MembershipFactory,
    SeatFactory,
    WorkOrderFactory,
)
from tests.views.record import manager_of, wrongs

pytestmark = pytest.mark.django_db


@pytest.fixture
def firm(client):
    _, person = manager_of()
    client.force_login(person)
    return person.organisations.get()


def make(client, firm, whose="organisation"):
    return client.post(reverse("calendar_feed_list", args=[firm.pk]), {"whose": whose})


def path_of(answer):
    address = answer.context["issued"].address
    return "/" + address.split("/", 3)[3]


def fetched(path, **headers):
    return Client().get(path, headers=headers)


def order_at(firm, **fields):
    pavement = firm.seats.first().pavement
    given = {"pavement": pavement, "organisation": firm, "sweeper": firm, "state": "dated"}
    return WorkOrderFactory(dated_for=timezone.localdate(), **given, **fields)


def uids(answer):
    return [str(e["uid"]) for e in Calendar.from_ical(answer.content).walk("VEVENT")]


def test_address_is_shown_once_and_only_its_digest_is_stored(client, firm):
    answer = make(client, firm)
    secret = path_of(answer).split("/")[2]
    assert secret in answer.content.decode()
    assert answer.headers["Cache-Control"].find("no-store") >= 0
    feed = CalendarFeed.objects.get()
    assert feed.secret_digest == digest_of(secret)
    assert (feed.made_by, feed.organisation, feed.crew) == (firm.people.get(), firm, None)
    page = client.get(reverse("calendar_feed_list", args=[firm.pk])).content.decode()
    assert secret not in page
    assert secret not in str(list(JournalLine.objects.values()))
    assert JournalLine.objects.about(feed).get().verb == "made"


def test_whoever_holds_the_address_reads_the_calendar_without_a_session(client, firm):
    path = path_of(make(client, firm))
    order = order_at(firm)
    answer = fetched(path)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.headers["Cache-Control"] == "private, no-cache"
    assert answer.cookies == {}
    assert len(uids(answer)) == 1
    assert order.number in answer.content.decode()
    assert CalendarFeed.objects.get().last_fetched_at is not None


def test_unchanged_calendar_is_not_sent_again(client, firm):
    path = path_of(make(client, firm))
    order_at(firm)
    etag = fetched(path).headers["ETag"]
    again = fetched(path, if_none_match=etag)
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["Cache-Control"] == "private, no-cache"
    order_at(firm)
    changed = fetched(path, if_none_match=etag)
    assert changed.status_code == 200
    assert changed.headers["ETag"] != etag


def test_address_made_anew_ends_the_old_one(client, firm):
    old = path_of(make(client, firm))
    new = path_of(make(client, firm))
    assert (fetched(old).status_code, fetched(new).status_code) == (404, 200)
    assert CalendarFeed.objects.open().count() == 1


def test_address_taken_back_leads_nowhere(client, firm):
    path = path_of(make(client, firm))
    feed = CalendarFeed.objects.get()
    answer = client.post(reverse("calendar_feed_revoke", args=[feed.pk]), follow=True)
    assert "by its old address any more" in answer.content.decode()
    assert fetched(path).status_code == 404
    again = client.post(reverse("calendar_feed_revoke", args=[feed.pk]), follow=True)
    assert "was taken back before" in again.content.decode()
    assert JournalLine.objects.about(feed).filter(verb="taken back").count() == 1


def test_feed_of_an_owner_tells_its_own_pavements_alone_and_ends_with_its_secret(client):
    seat = SeatFactory(role=Role.OWNER)
    owner = MembershipFactory(organisation=seat.organisation).organisation
    client.force_login(owner.people.get())
    path = path_of(make(client, owner))
    manager = SeatFactory(pavement=seat.pavement, role=Role.MANAGER).organisation
    given = {"organisation": manager, "entered_for": manager, "state": "dated"}
    today = timezone.localdate()
    seen = WorkOrderFactory(
        pavement=seat.pavement, number="W-seen", dated_for=today, price_agreed=731, **given
    )
    elsewhere = SeatFactory(organisation=manager, role=Role.MANAGER).pavement
    WorkOrderFactory(pavement=elsewhere, number="W-hidden", dated_for=today, **given)
    answer = fetched(path)
    told = answer.content.decode()
    assert len(uids(answer)) == 1 and seen.number in told
    assert "W-hidden" not in told and elsewhere.name not in told and "731" not in told
    client.post(reverse("calendar_feed_revoke", args=[CalendarFeed.objects.get().pk]))
    ended = fetched(path)
    assert ended.status_code == 404 and "W-seen" not in ended.content.decode()


def test_feed_of_a_crew_holds_what_is_its_own(client, firm):
    crew, other = (CrewFactory(organisation=firm) for _ in range(2))
    path = path_of(make(client, firm, whose=str(crew.pk)))
    order_at(firm, crew=crew)
    order_at(firm, crew=other)
    order_at(firm)
    assert len(uids(fetched(path))) == 1


@pytest.mark.parametrize("whose", ["", "x", "999999"])
def test_calendar_of_nobody_is_refused_beside_its_field(client, firm, whose):
    assert set(wrongs(make(client, firm, whose=whose))) == {"whose"}
    assert not CalendarFeed.objects.exists()


def test_crew_of_another_organisation_has_no_feed_here(client, firm):
    answer = make(client, firm, whose=str(CrewFactory().pk))
    assert set(wrongs(answer)) == {"whose"}


def test_maker_who_leaves_blanks_the_feed_and_it_stays_a_calendar(client, firm):
    path = path_of(make(client, firm))
    order_at(firm)
    assert len(uids(fetched(path))) == 1
    firm.memberships.update(to_at=timezone.now())
    answer = fetched(path)
    assert (answer.status_code, uids(answer)) == (200, [])


def test_seat_that_ended_takes_its_orders_out_of_the_feed(client, firm):
    path = path_of(make(client, firm))
    order_at(firm)
    firm.seats.update(to_at=timezone.now())
    assert uids(fetched(path)) == []
    SeatFactory(organisation=firm, role="manager")
    assert uids(fetched(path)) == []


def test_too_many_fetches_are_held_for_an_hour_and_counted_one_by_one(client, firm):
    path = path_of(make(client, firm))
    for _ in range(3):
        fetched(path)
    feed = CalendarFeed.objects.get()
    assert feed.fetches == 3
    CalendarFeed.objects.update(fetches=MOST)
    answer = fetched(path)
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "3600")
    assert CalendarFeed.objects.get().last_fetched_at == feed.last_fetched_at
    CalendarFeed.objects.update(window_at=timezone.now() - WINDOW - timedelta(seconds=1))
    assert fetched(path).status_code == 200
    assert CalendarFeed.objects.get().fetches == 1


def test_wrong_addresses_are_not_found_and_count_nothing():
    feed = CalendarFeedFactory()
    for secret in ("x", "%00", feed.secret_digest, "a" * 5000):
        assert fetched(f"/feeds/{secret}/calendar.ics").status_code == 404
    feed.refresh_from_db()
    assert feed.fetches == 0


def test_only_reading_is_answered(client, firm):
    path = path_of(make(client, firm))
    assert Client().post(path).status_code == 405
    assert Client().head(path).status_code == 200


def test_more_orders_ask_no_more_queries(client, firm, django_assert_num_queries):
    path = path_of(make(client, firm))
    fetched(path)
    order_at(firm)
    with django_assert_num_queries(10):
        fetched(path)
    for _ in range(20):
        order_at(firm)
    with django_assert_num_queries(10):
        fetched(path)
