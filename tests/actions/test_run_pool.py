"""A pool has a name of its own, and a pavement leaves it once, later than it joined."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.run_pool import CannotRunPool, add_pool, leave_pool
from registry.models import JournalLine, Pool, PoolPlace
from tests.factories import OrganisationFactory, PavementFactory

JOINED, LEFT = date(2024, 1, 1), date(2024, 6, 1)


class TestRunPool(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.town = OrganisationFactory()
        cls.pool = add_pool(name=" of the town ", organisation=cls.town, by=None)
        cls.place = PoolPlace.objects.create(
            pavement=PavementFactory(), pool=cls.pool, by_document="permit 7", from_on=JOINED
        )

    def leave(self, on=LEFT, why="permit ran out"):
        return leave_pool(self.place, on=on, why=why, by=None, organisation=self.town)

    def test_pool_is_for_others_to_join_and_its_line_tells_of_it(self):
        assert (self.pool.name, self.pool.is_own) == ("of the town", False)
        assert JournalLine.objects.about(self.pool).get().verb == "set up"

    def test_name_is_asked_and_taken_once_in_any_letters(self):
        with pytest.raises(CannotRunPool, match="has a name"):
            add_pool(name="  ", organisation=self.town, by=None)
        with pytest.raises(CannotRunPool, match="already"):
            add_pool(name="OF THE TOWN", organisation=self.town, by=None)
        add_pool(name="of the town", organisation=OrganisationFactory(), by=None)
        assert Pool.objects.count() == 2

    def test_who_leaves_is_in_the_pool_no_more_from_that_day(self):
        self.leave()
        assert not PoolPlace.objects.on(LEFT).exists()
        line = JournalLine.objects.about(self.place).get()
        assert (line.changes, line.why) == ({"pool": ["of the town", ""]}, "permit ran out")

    def test_leaving_asks_for_a_reason_and_a_day_after_joining(self):
        for given in ({"why": " "}, {"on": JOINED}):
            with pytest.raises(CannotRunPool):
                self.leave(**given)
        assert PoolPlace.objects.get().to_on is None

    def test_pavement_leaves_once(self):
        self.leave()
        with pytest.raises(CannotRunPool, match="has left this pool already"):
            self.leave(on=date(2025, 1, 1))
        assert PoolPlace.objects.get().to_on == LEFT
