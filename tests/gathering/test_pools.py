"""Each pavement is in one pool on a day: the one it joined, else that of who holds it."""

from datetime import UTC, date, datetime, timedelta

from django.test import TestCase

from registry.gathering.pools import holders_on, pool_of, pools_on
from registry.models import Pool, PoolPlace
from registry.models.choices import Role
from tests.factories import OrganisationFactory, PavementFactory, SeatFactory

DAY, JOINED = date(2024, 6, 1), date(2024, 7, 1)
SOLD = datetime(2024, 6, 15, tzinfo=UTC)


class TestPools(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        cls.owner = SeatFactory(pavement=cls.lot, to_at=SOLD).organisation
        cls.manager = SeatFactory(pavement=cls.lot, role=Role.MANAGER).organisation
        SeatFactory(pavement=cls.lot, role=Role.TESTER)
        cls.own = Pool.objects.create(organisation=cls.owner, name="own")
        cls.managers = Pool.objects.create(organisation=cls.manager, name="managed")
        cls.towns = Pool.objects.create(
            organisation=OrganisationFactory(), name="town", is_own=False
        )

    def test_owner_holds_before_the_manager_and_the_manager_where_nobody_owns(self):
        assert holders_on(DAY) == {self.lot.pk: self.owner.pk}
        assert holders_on(JOINED) == {self.lot.pk: self.manager.pk}

    def test_one_without_a_placing_date_goes_on_a_day_before_any_seat_with_who_first_held_it(self):
        lot = PavementFactory(placed_on=None)
        later = SOLD + timedelta(days=60)
        SeatFactory(pavement=lot, from_at=later + timedelta(days=9))
        SeatFactory(pavement=lot, from_at=later, to_at=later)
        first = SeatFactory(pavement=lot, from_at=later, role=Role.MANAGER).organisation
        assert holders_on(DAY)[lot.pk] == first.pk
        type(lot).objects.filter(pk=lot.pk).update(placed_on=JOINED)
        assert lot.pk not in holders_on(DAY)

    def test_seat_at_a_section_or_as_tester_holds_nothing(self):
        lot = SeatFactory(role=Role.TESTER).pavement
        assert lot.pk not in holders_on(DAY)
        assert pool_of(lot, DAY) is None

    def test_pavement_is_in_its_holders_own_pool_until_it_joins_another(self):
        PoolPlace.objects.create(
            pavement=self.lot, pool=self.towns, by_document="permit", from_on=JOINED
        )
        for day, pool in ((DAY, self.own), (JOINED, self.towns)):
            assert pool_of(self.lot, day) == pool
            assert pools_on(day) == {pool: [self.lot.pk]}

    def test_void_pavement_is_in_no_pool(self):
        type(self.lot).objects.update(void_at=SOLD, void_why="twice")
        assert pools_on(DAY) == {}
