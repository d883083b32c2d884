"""What a person's organisations hold: begun seats that read, and rights as of an instant."""

from datetime import UTC, datetime, timedelta

from django.test import TestCase
from django.utils import timezone

from registry import access
from registry.access.holding import open_roles, pavements_held_as, rights_at, seats_of, sides_of
from registry.models.choices import Role
from tests.factories import (
    MembershipFactory,
    NumberFactory,
    PavementFactory,
    PersonFactory,
    SeatFactory,
)

ENDED = datetime(2020, 1, 1, tzinfo=UTC)


class TestHolding(TestCase):
    @classmethod
    def setUpTestData(cls):
        member = MembershipFactory()
        cls.person, own = member.person, {"organisation": member.organisation}
        cls.owned = SeatFactory(role=Role.OWNER, **own)
        cls.sold = SeatFactory(role=Role.OWNER, to_at=ENDED, **own)
        cls.delivered = SeatFactory(role=Role.PRODUCER, **own)
        tomorrow = timezone.now() + timedelta(days=1)
        cls.to_come = SeatFactory(role=Role.TESTER, from_at=tomorrow, **own)
        cls.of_others = SeatFactory()

    def test_past_seats_count_and_seats_to_come_do_not(self):
        assert set(seats_of(self.person)) == {self.owned, self.sold, self.delivered}

    def test_a_seat_that_reads_shows_its_pavement_also_after_its_end(self):
        assert set(access.visible_pavements(self.person)) == {
            self.owned.pavement,
            self.sold.pavement,
        }

    def test_open_roles_leave_out_what_ended_or_has_not_begun(self):
        assert open_roles(self.person) == {Role.OWNER, Role.PRODUCER}

    def test_sides_are_names_in_order_roles_of_all_and_whether_anything_is_seen(self):
        MembershipFactory(person=self.person, organisation__name="A first one")
        MembershipFactory(person=self.person, organisation__name="Left", from_at=ENDED, to_at=ENDED)
        sides = sides_of(self.person)
        own = self.owned.organisation.name
        assert sides.names == tuple(sorted(["A first one", own]))
        assert sides.roles == {Role.OWNER, Role.PRODUCER}
        assert sides.has_pavements

    def test_a_producer_and_who_works_for_nobody_see_no_pavement(self):
        producer = MembershipFactory()
        SeatFactory(organisation=producer.organisation, role=Role.PRODUCER)
        assert not sides_of(producer.person).has_pavements
        assert sides_of(PersonFactory()).names == ()

    def test_numbers_are_parted_by_whose_they_are_and_those_taken_back_are_left_out(self):
        lot = self.owned.pavement
        mine = NumberFactory(pavement=lot, organisation=self.owned.organisation)
        of_others = NumberFactory(pavement=lot)
        NumberFactory(pavement=lot, is_taken_back=True)
        NumberFactory()
        assert access.numbers_of(self.person, lot) == ([mine], [of_others])

    def test_held_now_as_owner_is_neither_sold_nor_held_as_something_else(self):
        assert list(pavements_held_as(self.person, {Role.OWNER})) == [self.owned.pavement]

    def test_void_and_split_pavements_are_not_held(self):
        PavementFactory(parent=self.owned.pavement)
        type(self.owned.pavement).objects.filter(pk=self.owned.pavement_id).update(state="split")
        assert not pavements_held_as(self.person, {Role.OWNER}).exists()

    def test_rights_are_those_of_the_instant_asked_for(self):
        before = rights_at(self.person, self.sold.pavement, at=ENDED - timedelta(days=1))
        assert before.roles == {Role.OWNER}
        assert rights_at(self.person, self.sold.pavement).roles == set()

    def test_seat_of_another_organisation_gives_no_right(self):
        assert rights_at(self.person, self.of_others.pavement).seats == ()
