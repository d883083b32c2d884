"""Who sees outlooks, fits and pools: who reads all tests, or runs the pool that was joined."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.test import TestCase

from registry.access import outlooks
from registry.models import Fit, Outlook, Pool, PoolPlace
from registry.models.choices import Role
from tests.factories import MembershipFactory, PavementFactory, SeatFactory

DAY = date(2024, 5, 1)


class TestOutlooks(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.pavement = PavementFactory()
        cls.cast = {role: cls.seated(role) for role in (Role.OWNER, Role.TESTER, Role.SWEEPER)}
        cls.town = cls.seated(Role.MUNICIPALITY)
        cls.pool = cls.pool_of(cls.town)
        cls.place = PoolPlace.objects.create(
            pavement=cls.pavement, pool=cls.pool, by_document="permit 7", from_on=DAY
        )
        cls.fit = Fit.objects.create(
            pool=cls.pool,
            as_of_on=DAY,
            input_digest="0",
            code_version="1",
            converged=True,
            parameters={},
        )
        cls.outlook = Outlook.objects.create(
            pavement=cls.pavement,
            fit=cls.fit,
            as_of_on=DAY,
            worked_out_at="2024-05-01T00:00Z",
            why_not="x",
        )

    @classmethod
    def seated(cls, role):
        member = MembershipFactory()
        SeatFactory(pavement=cls.pavement, organisation=member.organisation, role=role)
        return member

    @classmethod
    def pool_of(cls, member, *, is_own=False):
        return Pool.objects.create(organisation=member.organisation, name="p", is_own=is_own)

    def test_owner_and_who_runs_the_joined_pool_see_the_outlook(self):
        for member in (self.cast[Role.OWNER], self.town):
            assert outlooks.get_outlook(member.person, self.pavement) == self.outlook
            assert list(outlooks.seen_outlooks(member.person)) == [self.outlook]

    def test_who_reads_some_tests_alone_is_refused_it(self):
        for role in (Role.TESTER, Role.SWEEPER):
            person = self.cast[role].person
            assert outlooks.find_outlook(person, self.pavement) is None
            assert not outlooks.seen_outlooks(person).exists()
            with pytest.raises(PermissionDenied):
                outlooks.get_outlook(person, self.pavement)

    def test_running_ones_own_pool_shows_nothing_of_it(self):
        Pool.objects.filter(pk=self.pool.pk).update(is_own=True)
        assert outlooks.find_outlook(self.town.person, self.pavement) is None
        assert not outlooks.seen_outlooks(self.town.person).exists()

    def test_where_none_was_worked_out_there_is_none_to_refuse(self):
        Outlook.objects.all().delete()
        assert outlooks.get_outlook(self.cast[Role.TESTER].person, self.pavement) is None

    def test_fit_is_found_by_who_runs_its_pool_or_reads_a_pavement_of_it(self):
        for member in (self.town, self.cast[Role.OWNER]):
            assert outlooks.get_fit(member.person, self.fit.pk) == self.fit
        with pytest.raises(Http404):
            outlooks.get_fit(self.cast[Role.TESTER].person, self.fit.pk)

    def test_pool_is_found_by_who_runs_it_alone(self):
        assert outlooks.get_pool(self.town.person, self.pool.pk) == self.pool
        with pytest.raises(Http404):
            outlooks.get_pool(self.cast[Role.OWNER].person, self.pool.pk)

    def test_only_a_side_that_sits_here_and_runs_a_pool_takes_a_pavement_in(self):
        elsewhere = MembershipFactory()
        self.pool_of(elsewhere)
        assert outlooks.pools_to_join(self.town.person, self.pavement) == [self.pool]
        assert outlooks.place_and_way_in(self.town.person, self.pavement)[1]
        for person in (self.cast[Role.OWNER].person, elsewhere.person):
            assert not outlooks.place_and_way_in(person, self.pavement)[1]
            with pytest.raises(PermissionDenied):
                outlooks.pools_to_join(person, self.pavement)

    def test_place_is_ended_by_its_keeper_or_by_who_runs_the_pool(self):
        for member in (self.cast[Role.OWNER], self.town):
            found = outlooks.get_place_to_end(member.person, self.pavement)
            assert found == (self.place, member.organisation)
        with pytest.raises(PermissionDenied):
            outlooks.get_place_to_end(self.cast[Role.TESTER].person, self.pavement)

    def test_the_place_of_a_pavement_that_joined_names_its_pool(self):
        place, _ = outlooks.place_and_way_in(self.town.person, self.pavement)
        assert place is not None and place.pool == self.pool

    def test_a_place_that_was_left_is_no_place(self):
        PoolPlace.objects.update(to_on=date(2024, 6, 1))
        assert outlooks.place_and_way_in(self.town.person, self.pavement)[0] is None
        with pytest.raises(Http404):
            outlooks.get_place_to_end(self.town.person, self.pavement)
