"""A feed shows what its organisation sees today, by the same seats as whoever works there."""

from datetime import timedelta

from django.http import Http404
from django.test import TestCase
from django.utils import timezone

from registry.access.calendars import calendar_rows, feed_rows, find_feed, get_feed, owners_seen
from registry.access.work_orders import all_visible_work_orders
from registry.models.choices import Role
from tests.factories import (
    SECRET,
    CalendarFeedFactory,
    CrewFactory,
    MembershipFactory,
    PavementFactory,
    SeatFactory,
    WorkOrderFactory,
)


class TestCalendars(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        cls.members = {role: MembershipFactory() for role in Role.values}
        cls.firms = {role: member.organisation for role, member in cls.members.items()}
        cls.seats = {
            role: SeatFactory(pavement=cls.lot, organisation=firm, role=role)
            for role, firm in cls.firms.items()
        }
        keeper = {"organisation": cls.firms["manager"], "entered_for": cls.firms["manager"]}
        sweeper = cls.firms["sweeper"]
        cls.crew, cls.other_crew = (CrewFactory(organisation=sweeper) for _ in range(2))
        given = {"pavement": cls.lot, "sweeper": sweeper, **keeper}
        cls.order = WorkOrderFactory(crew=cls.crew, **given)
        WorkOrderFactory(crew=cls.other_crew, **given)
        WorkOrderFactory(pavement=cls.lot, submitted_on="2024-06-01", **keeper)
        WorkOrderFactory()

    def feed_of(self, role, **fields):
        member = self.members[role]
        given = {"organisation": member.organisation, "made_by": member.person, **fields}
        return CalendarFeedFactory(secret_digest=f"{role}{fields}"[:64], **given)

    def test_feed_shows_the_orders_that_whoever_works_there_sees(self):
        shown = 0
        for role, member in self.members.items():
            rows = feed_rows(self.feed_of(role), timezone.now())
            assert set(rows.orders) == set(all_visible_work_orders(member.person)), role
            assert set(rows.kept) == set(calendar_rows(member.person).kept), role
            shown += rows.orders.count()
        assert shown > len(self.members)

    def test_feed_of_a_crew_shows_its_own_orders_and_nothing_of_the_pavements(self):
        rows = feed_rows(self.feed_of("sweeper", crew=self.crew), timezone.now())
        assert set(rows.orders) == {self.order}
        assert (list(rows.kept), list(rows.crews)) == ([], [self.crew])

    def test_seat_that_ended_shows_nothing_further(self):
        feed = self.feed_of("owner")
        seat = self.seats["owner"]
        seat.to_at = timezone.now()
        seat.save(update_fields=["to_at"])
        later = timezone.now() + timedelta(seconds=1)
        rows = feed_rows(feed, later)
        assert (list(rows.orders), list(rows.kept)) == ([], [])

    def test_maker_who_works_there_no_more_blanks_the_feed(self):
        for role, change in (("owner", "to_at"), ("manager", "is_active")):
            feed = self.feed_of(role)
            assert feed_rows(feed, timezone.now()) is not None
            if change == "to_at":
                self.members[role].to_at = timezone.now()
                self.members[role].save(update_fields=["to_at"])
            else:
                self.members[role].person.is_active = False
                self.members[role].person.save(update_fields=["is_active"])
            assert feed_rows(feed, timezone.now() + timedelta(seconds=1)) is None, change

    def test_void_crew_blanks_its_feed(self):
        self.crew.void_at, self.crew.void_why = timezone.now(), "never was"
        self.crew.save(update_fields=["void_at", "void_why"])
        assert feed_rows(self.feed_of("sweeper", crew=self.crew), timezone.now()) is None

    def test_maker_who_works_elsewhere_too_brings_nothing_from_there(self):
        member = self.members["tester"]
        MembershipFactory(person=member.person, organisation=self.firms["owner"])
        rows = feed_rows(self.feed_of("tester"), timezone.now())
        assert list(rows.orders) == []

    def test_address_leads_to_its_feed_until_it_is_taken_back(self):
        feed = CalendarFeedFactory(secret=SECRET)
        assert find_feed(SECRET) == feed
        feed.revoked_at = timezone.now()
        feed.save(update_fields=["revoked_at"])
        for secret in (SECRET, "", feed.secret_digest, "\0", "x" * 10_000):
            with self.assertRaises(Http404):
                find_feed(secret)

    def test_only_whoever_works_there_changes_a_feed(self):
        feed = self.feed_of("sweeper")
        assert get_feed(self.members["sweeper"].person, feed.pk) == feed
        with self.assertRaises(Http404):
            get_feed(self.members["manager"].person, feed.pk)

    def test_owners_are_those_of_pavements_seen_now(self):
        assert list(owners_seen(self.members["sweeper"].person)) == [self.firms["owner"]]
        assert list(owners_seen(MembershipFactory().person)) == []
        seat = self.seats["sweeper"]
        seat.to_at = timezone.now()
        seat.save(update_fields=["to_at"])
        assert list(owners_seen(self.members["sweeper"].person)) == []
