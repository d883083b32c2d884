"""A pavement joins a pool by a document, one at a time."""

from datetime import date

import pytest
from django.test import TestCase

from registry.actions.join_pool import CannotJoinPool, join_pool
from registry.models import Pool, PoolPlace
from tests.factories import OrganisationFactory, PavementFactory

FIRST, LATER = date(2024, 1, 1), date(2024, 6, 1)


class TestJoinPool(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.lot = PavementFactory()
        cls.one, cls.other = (
            Pool.objects.create(organisation=OrganisationFactory(), name=n, is_own=False)
            for n in ("one", "other")
        )

    def join(self, pool, on, document="permit 7"):
        return join_pool(
            self.lot, pool, by_document=document, from_on=on, by=None, organisation=None
        )

    def test_joining_another_pool_ends_the_place_in_the_first_that_day(self):
        first = self.join(self.one, FIRST)
        second = self.join(self.other, LATER)
        first.refresh_from_db()
        assert first.to_on == LATER
        assert [p.pool for p in PoolPlace.objects.on(LATER)] == [second.pool]

    def test_document_is_asked(self):
        with pytest.raises(CannotJoinPool, match="consent or permit"):
            self.join(self.one, FIRST, " ")

    def test_same_pool_is_not_joined_twice(self):
        self.join(self.one, FIRST)
        with pytest.raises(CannotJoinPool, match="in this pool already"):
            self.join(self.one, LATER)

    def test_no_day_belongs_to_two_pools(self):
        self.join(self.one, LATER)
        for on in (FIRST, LATER):
            with pytest.raises(CannotJoinPool, match="join from a later day"):
                self.join(self.other, on)
        PoolPlace.objects.update(to_on=date(2025, 1, 1))
        with pytest.raises(CannotJoinPool, match="until 2025-01-01"):
            self.join(self.other, FIRST)
        assert PoolPlace.objects.count() == 1
