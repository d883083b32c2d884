"""The outlook of a pavement is of the pool it is in today, from the moment it changes."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.test import TestCase
from django.utils import timezone

from registry import access
from registry.actions.follow_pool import follow_pool
from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.join_pool import join_pool
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.actions.run_pool import leave_pool
from registry.actions.sell_pavement import Deed, sell_pavement
from registry.models import Fit, Outlook, Pavement, Pool, PoolPlace, Seat
from registry.models.choices import Role
from tests.factories import MembershipFactory, SeatFactory

TODAY = timezone.now().date()
BEFORE = TODAY - timedelta(days=30)


class TestFollowPool(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.owner = invent_portfolio(pavements=4, seed=5, as_of=TODAY)
        other = invent_portfolio(pavements=4, seed=6, as_of=TODAY)
        cls.town = MembershipFactory()
        cls.pool = Pool.objects.create(
            organisation=cls.town.organisation, name="town", is_own=False
        )
        for theirs in Pavement.objects.filter(entered_for=other):
            PoolPlace.objects.create(
                pavement=theirs, pool=cls.pool, by_document="permit", from_on=BEFORE
            )
        cls.lot = Pavement.objects.filter(entered_for=cls.owner).order_by("pk").first()
        SeatFactory(pavement=cls.lot, organisation=cls.town.organisation, role=Role.MUNICIPALITY)
        list(refresh_outlooks(as_of=TODAY))

    def outlook(self):
        return Outlook.objects.select_related("fit__pool").get(pavement=self.lot)

    def join(self, from_on=BEFORE):
        return join_pool(self.lot, self.pool, by_document="consent of May", from_on=from_on,
                         by=None, organisation=None)  # fmt: skip

    def leave(self, place, on=TODAY):
        return leave_pool(place, on=on, why="withdrawn", by=None, organisation=None)

    def town_sees(self):
        found = access.find_outlook(self.town.person, self.lot)
        listed = access.seen_outlooks(self.town.person).filter(pavement=self.lot)
        assert (found is not None) == listed.exists()
        return found is not None

    def test_joined_pavement_is_foretold_by_the_pools_fit_at_once_and_no_other_is_touched(self):
        before, fits = self.outlook(), Fit.objects.count()
        others = Outlook.objects.exclude(pavement=self.lot).order_by("pk")
        stamps = list(others.values_list("pk", "worked_out_at"))
        assert not self.town_sees()
        self.join()
        after = self.outlook()
        assert (before.fit.pool.organisation, after.fit.pool) == (self.owner, self.pool)
        assert after.rate_mm_h != before.rate_mm_h
        assert (Fit.objects.count(), list(others.values_list("pk", "worked_out_at"))) == (
            fits, stamps,
        )  # fmt: skip
        assert self.town_sees()

    def test_who_left_is_foretold_by_its_own_pool_again_and_the_town_sees_it_no_more(self):
        first = self.outlook()
        self.leave(self.join())
        again = self.outlook()
        assert (again.fit, again.rate_mm_h, again.sweep_by_on) == (
            first.fit, first.rate_mm_h, first.sweep_by_on,
        )  # fmt: skip
        assert not self.town_sees()
        with pytest.raises(PermissionDenied):
            access.get_outlook(self.town.person, self.lot)

    def test_consent_that_ends_on_a_coming_day_holds_until_then_and_no_longer(self):
        place = self.leave(self.join(), on=TODAY + timedelta(days=3))
        assert self.outlook().fit.pool == self.pool
        assert self.town_sees()
        # Three days on, before anything was worked out anew.
        PoolPlace.objects.filter(pk=place.pk).update(to_on=TODAY)
        assert self.outlook().fit.pool == self.pool
        assert not self.town_sees()
        assert follow_pool(self.lot)
        assert self.outlook().fit.pool.organisation == self.owner
        assert not follow_pool(self.lot), "a second time there is nothing to do"

    def test_consent_of_a_coming_day_changes_nothing_yet(self):
        before = self.outlook()
        self.join(TODAY + timedelta(days=3))
        assert self.outlook().worked_out_at == before.worked_out_at
        assert not self.town_sees()

    def test_pool_without_a_fit_leaves_its_reason_and_no_number_of_the_pool_before(self):
        place = self.join()
        Outlook.objects.exclude(pavement=self.lot).filter(
            fit__pool__organisation=self.owner
        ).delete()
        Fit._base_manager.filter(pool__organisation=self.owner).delete()
        self.leave(place)
        left = self.outlook()
        assert (left.fit, left.rate_mm_h, left.sweep_by_on, left.spots) == (None, None, None, [])
        assert "no fit has converged). One is tried within a day." in left.why_not
        assert left.pavement.due.fit is None

    def test_sold_pavement_is_foretold_by_the_buyers_fit_and_the_sellers_is_seen_no_more(self):
        theirs = self.outlook().fit
        buyer = MembershipFactory(organisation__usual_role=Role.OWNER)
        deed = Deed(buyer.organisation, timezone.now(), "deed 12")
        sell_pavement(pavement=self.lot, deed=deed, decisions={}, by=None, organisation=None)
        left = self.outlook()
        assert (left.fit, left.rate_mm_h) == (None, None)
        with pytest.raises(Http404):
            access.get_fit(buyer.person, theirs.pk)
        list(refresh_outlooks(as_of=TODAY))
        own = self.outlook().fit
        assert own.pool.organisation == buyer.organisation
        assert access.get_fit(buyer.person, own.pk) == own
        seller = MembershipFactory(organisation=self.owner).person
        assert access.find_outlook(seller, self.lot) is None
        with pytest.raises(Http404):
            access.get_fit(seller, own.pk)

    def test_pavement_that_nobody_holds_any_more_keeps_no_numbers(self):
        Seat.objects.filter(pavement=self.lot).update(to_at=timezone.now())
        assert follow_pool(self.lot)
        assert (self.outlook().fit, self.outlook().rate_mm_h) == (None, None)
